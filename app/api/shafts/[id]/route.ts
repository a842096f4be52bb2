import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { withPlainCurrent } from '@/lib/http/row-routes'
import { readDocument } from '@/lib/store/document'
import { applyEdits } from '@/lib/store/edits'
import { removeShaft } from '@/lib/store/shafts'

export const GET = route(catalogue.shafts.read, async ({ params }) => {
  const document = await readDocument(params.id)
  return json(document, { version: document.shaft.version })
})

export const PUT = route(catalogue.shafts.replace, async ({ params, body, version }) => {
  const edit = { op: 'update', kind: 'shaft', id: params.id, version, value: body } as const
  const [edited] = await withPlainCurrent(applyEdits(params.id, [edit], new Date(), ['$']))
  return json(edited?.row, { version: edited?.row.version })
})

export const DELETE = route(catalogue.shafts.remove, async ({ params, version }) => {
  const row = await withPlainCurrent(removeShaft(params.id, version, new Date()))
  return json(row, { version: row.version })
})
