import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { alignmentsOf } from '@/lib/store/alignments'
import { readDocument } from '@/lib/store/document'

export const GET = route(catalogue.shafts.alignments, async ({ params }) =>
  json({ journals: await alignmentsOf(await readDocument(params.id)) }),
)
