import { catalogue } from '@/lib/http/catalogue'
import { download } from '@/lib/http/download'
import { route } from '@/lib/http/route'
import { marksCsv } from '@/lib/report/marks-csv'
import { inspectionOf, readDocument } from '@/lib/store/document'
import { exportName } from '@/lib/store/exports'
import { findingsOf } from '@/lib/store/findings'

export const GET = route(catalogue.shafts.marksCsv, async ({ params }) => {
  const document = await readDocument(params.id)
  const table = marksCsv(inspectionOf(document), await findingsOf(document))
  return download(table, 'text/csv; charset=utf-8', exportName(document, 'csv'))
})
