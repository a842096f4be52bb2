import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { createShaft, listShafts } from '@/lib/store/shafts'

export const GET = route(catalogue.shafts.list, async ({ query }) =>
  json({ shafts: await listShafts(query.search, query.removed === 'true') }),
)

export const POST = route(catalogue.shafts.add, async ({ body }) => {
  const { document, made } = await createShaft(body, new Date())
  return json(document, { status: made ? 201 : 200, version: document.shaft.version })
})
