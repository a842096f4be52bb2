import { catalogue } from '@/lib/http/catalogue'
import { takeForm, takeOne } from '@/lib/http/photo-upload'
import { route } from '@/lib/http/route'
import { rowRoutes } from '@/lib/http/row-routes'

export const GET = rowRoutes('photo', catalogue.photos).list

export const POST = route(catalogue.photos.upload, ({ params, query, request }) =>
  request.headers.get('content-type')?.startsWith('multipart/') ? takeForm(params.id, query, request) : takeOne(params.id, query, request),
)
