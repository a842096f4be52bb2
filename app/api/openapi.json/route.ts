import { catalogue } from '@/lib/http/catalogue'
import { openApiDocument } from '@/lib/http/openapi'
import { json, route } from '@/lib/http/route'

export const GET = route(catalogue.openapi, async () => json(openApiDocument()))
