import { catalogue } from '@/lib/http/catalogue'
import { rowRoutes } from '@/lib/http/row-routes'

const routes = rowRoutes('journal', catalogue.journals)
export const GET = routes.read
export const PUT = routes.replace
export const DELETE = routes.remove
