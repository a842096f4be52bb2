import { catalogue } from '@/lib/http/catalogue'
import { rowRoutes } from '@/lib/http/row-routes'

const routes = rowRoutes('lift', catalogue.lifts)
export const GET = routes.read
export const PUT = routes.replace
export const DELETE = routes.remove
