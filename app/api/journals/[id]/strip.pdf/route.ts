import { catalogue } from '@/lib/http/catalogue'
import { download } from '@/lib/http/download'
import { route } from '@/lib/http/route'
import { database } from '@/lib/store/database'
import { readDocument } from '@/lib/store/document'
import { exportName } from '@/lib/store/exports'
import { journals } from '@/lib/store/journals'
import { storedRow } from '@/lib/store/member'
import { stripSheet } from '@/lib/store/strip-sheet'

export const GET = route(catalogue.journals.strip, async ({ params, query }) => {
  const { shaftId, name } = await storedRow(journals, database().client, params.id)
  const document = await readDocument(shaftId)
  return download(await stripSheet(document, name, query.paper), 'application/pdf', exportName(document, `strip-${name}.pdf`))
})
