import { catalogue } from '@/lib/http/catalogue'
import { addRoute, rowRoutes } from '@/lib/http/row-routes'

export const GET = rowRoutes('sizes', catalogue.sizes).list
export const POST = addRoute('sizes', catalogue.sizes.add)
