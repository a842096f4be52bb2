/** The bench's requests: the document, one gesture; and, beside them, how the photographs are laid beside each other. */
import { type ApiFailure, apiRequest } from '@/components/ui/api-client'
import { type Edit, type EditedRow, editedRowsSchema } from '@/lib/model/edit'
import type { Result } from '@/lib/model/result'
import { type ShaftDocument, shaftDocumentSchema } from '@/lib/model/rows'
import { type AlignmentWish, alignmentsSchema, type JournalAlignment } from '@/lib/photo/alignment-record'

export type BenchServer = {
  load: () => Promise<Result<ShaftDocument, ApiFailure>>
  /** One transaction: all of the edits are written, or none. */
  send: (edits: readonly Edit[]) => Promise<Result<{ rows: EditedRow[] }, ApiFailure>>
}

export function benchServer(shaftId: string): BenchServer {
  const path = `/api/shafts/${shaftId}`
  return {
    load: () => apiRequest(shaftDocumentSchema, { path }),
    send: (edits) => apiRequest(editedRowsSchema, { method: 'POST', path: `${path}/edits`, body: { edits } }),
  }
}

export function askAlignments(shaftId: string, wish?: AlignmentWish): Promise<Result<{ journals: JournalAlignment[] }, ApiFailure>> {
  const path = `/api/shafts/${shaftId}/alignments`
  return apiRequest(alignmentsSchema, wish ? { method: 'POST', path, body: wish } : { path })
}
