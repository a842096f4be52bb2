import { catalogue } from '@/lib/http/catalogue'
import { download } from '@/lib/http/download'
import { route } from '@/lib/http/route'
import { inspectionOf, readDocument } from '@/lib/store/document'
import { exportName, inspectionText } from '@/lib/store/exports'

export const GET = route(catalogue.shafts.inspection, async ({ params }) => {
  const document = await readDocument(params.id)
  return download(inspectionText(inspectionOf(document)), 'application/json', exportName(document, 'json'))
})
