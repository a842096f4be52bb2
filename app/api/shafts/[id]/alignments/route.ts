import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { alignmentsOf, wishForAlignment } from '@/lib/store/alignments'
import { readDocument } from '@/lib/store/document'

export const GET = route(catalogue.shafts.alignments, async ({ params }) =>
  json({ journals: await alignmentsOf(await readDocument(params.id)) }),
)

export const POST = route(catalogue.shafts.wishForAlignment, async ({ params, body }) => {
  const document = await readDocument(params.id)
  wishForAlignment(document, body)
  return json({ journals: await alignmentsOf(document) })
})
