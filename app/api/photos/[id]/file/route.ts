import { attachOne } from '@/lib/http/photo-upload'
import { catalogue } from '@/lib/http/catalogue'
import { route } from '@/lib/http/route'

export const PUT = route(catalogue.photos.attach, ({ params, query, version, request }) => attachOne(params.id, version, query, request))
