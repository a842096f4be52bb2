import { catalogue } from '@/lib/http/catalogue'
import { addRoute, rowRoutes } from '@/lib/http/row-routes'

export const GET = rowRoutes('journal', catalogue.journals).list
export const POST = addRoute('journal', catalogue.journals.add)
