import { catalogue } from '@/lib/http/catalogue'
import { takeLiftBody } from '@/lib/http/lift-upload'
import { route } from '@/lib/http/route'
import { rowRoutes } from '@/lib/http/row-routes'

export const GET = rowRoutes('lift', catalogue.lifts).list
export const POST = route(catalogue.lifts.upload, ({ params, query, request }) => takeLiftBody(params.id, query, request))
