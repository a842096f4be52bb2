import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { applyEdits } from '@/lib/store/edits'

export const POST = route(catalogue.shafts.edits, async ({ params, body }) =>
  json({ rows: await applyEdits(params.id, body.edits, new Date()) }),
)
