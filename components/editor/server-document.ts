/** The server's document and rows in the editor's terms. */
import type { EditedRow } from '@/lib/model/edit'
import type { ShaftDocument } from '@/lib/model/rows'
import type { KnownRows, ServerRow } from './bench-state'
import type { BenchDocument } from './document'

export function fromServer(answer: ShaftDocument): { document: BenchDocument; known: KnownRows } {
  const { shaft, journals, photos, marks } = answer
  return {
    document: {
      shaft: { id: shaft.id, name: shaft.shaft.id, label: shaft.shaft.label },
      journals: journals.map((row) => ({ id: row.id, value: row.journal })),
      photos: photos.map((row) => ({ id: row.id, value: row.photo })),
      marks: marks.map((row) => ({ id: row.id, value: row.mark })),
      files: Object.fromEntries(photos.map((row) => [row.id, row.file])),
    },
    known: Object.fromEntries([...journals, ...photos, ...marks].map((row) => [row.id, { version: row.version, removed: false }])),
  }
}

/** The rows of an answer that the bench edits; sizes and the shaft's own row are none of them. */
export function editedRows(rows: readonly EditedRow[]): ServerRow[] {
  return rows.flatMap((entry): ServerRow[] => {
    const { id, version, removedAt } = entry.row
    const gone = removedAt !== null
    switch (entry.kind) {
      case 'journal':
        return [{ kind: 'journal', id, version, value: gone ? null : entry.row.journal }]
      case 'photo':
        return [{ kind: 'photo', id, version, value: gone ? null : entry.row.photo }]
      case 'mark':
        return [{ kind: 'mark', id, version, value: gone ? null : entry.row.mark }]
      default:
        return []
    }
  })
}
