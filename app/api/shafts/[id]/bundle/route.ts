import { catalogue } from '@/lib/http/catalogue'
import { download } from '@/lib/http/download'
import { route } from '@/lib/http/route'
import { readDocument } from '@/lib/store/document'
import { bundleOf, exportName } from '@/lib/store/exports'
import { readLifts } from '@/lib/store/lifts'
import { photoStorage } from '@/lib/store/photo-storage'

export const GET = route(catalogue.shafts.bundle, async ({ params }) => {
  const document = await readDocument(params.id)
  return download(bundleOf(document, photoStorage(), await readLifts(params.id)), 'application/zip', exportName(document, 'zip'))
})
