/** The document a bench works on: the rows of one shaft, and the edits that change them. */
import type { Journal } from '@/lib/model/journal'
import type { Mark } from '@/lib/model/mark'
import type { Photo } from '@/lib/model/photo'
import type { PhotoFile } from '@/lib/model/rows'

export type RowKind = 'journal' | 'photo' | 'mark'
export type ValueOf = { journal: Journal; photo: Photo; mark: Mark }

/** One row: `id` is its uuid at the server; the value carries the id it has within the inspection file. */
export type Row<Value> = { id: string; value: Value }

export type BenchDocument = {
  shaft: { id: string; name: string; label: string }
  /** Front to rear. */
  journals: readonly Row<Journal>[]
  photos: readonly Row<Photo>[]
  marks: readonly Row<Mark>[]
  /** The kept original of each photograph by row id; null where an imported file named a picture that was not brought along. */
  files: Readonly<Record<string, PhotoFile | null>>
}

type EditOf<Kind extends RowKind> = { kind: Kind; id: string; before: ValueOf[Kind] | null; after: ValueOf[Kind] | null }
/** What changed in one row: `before` null adds it, `after` null removes it. */
export type Edit = EditOf<'journal'> | EditOf<'photo'> | EditOf<'mark'>

/** What a person did in one go: one entry of the history, one transaction at the server. */
export type Gesture = { id: string; words: string; edits: readonly Edit[] }

/** The document after the edits, in order. Rows that were not touched keep their identity, so that what is derived from them can be kept. */
export function applyEdits(document: BenchDocument, edits: readonly Edit[]): BenchDocument {
  const lists: Record<(typeof listOf)[RowKind], readonly Row<ValueOf[RowKind]>[]> = {
    journals: document.journals,
    photos: document.photos,
    marks: document.marks,
  }
  for (const edit of edits) lists[listOf[edit.kind]] = editRows(lists[listOf[edit.kind]], edit)
  return { ...document, ...lists } as BenchDocument
}

/** The edits that take `edits` back. */
export function invertEdits(edits: readonly Edit[]): Edit[] {
  return edits.map((edit) => ({ ...edit, before: edit.after, after: edit.before }) as Edit).reverse()
}

export const listOf = { journal: 'journals', photo: 'photos', mark: 'marks' } as const

export function findRow(document: BenchDocument, kind: RowKind, id: string): Row<ValueOf[RowKind]> | undefined {
  return (document[listOf[kind]] as readonly Row<ValueOf[RowKind]>[]).find((row) => row.id === id)
}

/** The document with one row as the server has it, or without it. */
export function takeRow(document: BenchDocument, kind: RowKind, id: string, row: Row<ValueOf[RowKind]> | null): BenchDocument {
  const rows = document[listOf[kind]] as readonly Row<ValueOf[RowKind]>[]
  const known = rows.some((old) => old.id === id)
  const kept = row === null ? rows.filter((old) => old.id !== id) : known ? rows.map((old) => (old.id === id ? row : old)) : [...rows, row]
  return { ...document, [listOf[kind]]: kept }
}

function editRows(rows: readonly Row<ValueOf[RowKind]>[], edit: Edit): readonly Row<ValueOf[RowKind]>[] {
  const { after } = edit
  if (after === null) return rows.filter((row) => row.id !== edit.id)
  if (rows.some((row) => row.id === edit.id)) return rows.map((row) => (row.id === edit.id ? { ...row, value: after } : row))
  return [...rows, { id: edit.id, value: after }]
}
