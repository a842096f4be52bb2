import { catalogue } from '@/lib/http/catalogue'
import { addRoute, rowRoutes } from '@/lib/http/row-routes'

export const GET = rowRoutes('mark', catalogue.marks).list
export const POST = addRoute('mark', catalogue.marks.add)
