/** A shaft's document with rows that were written, or wait to be, put into it. */
import { z } from 'zod'
import { cutSchema, sizesSchema } from '@/lib/model/cut'
import { shaftSchema } from '@/lib/model/inspection'
import { journalSchema } from '@/lib/model/journal'
import { journalRowSchema, type ShaftDocument, shaftRowSchema, sizesRowSchema } from '@/lib/model/rows'
import type { PendingWrite, Written } from './save-queue'

/** The document with a row as the server has just answered it. A row of another shaft changes nothing. */
export function withWritten(document: ShaftDocument, row: Written): ShaftDocument {
  const shaft = shaftRowSchema.safeParse(row)
  if (shaft.success) return shaft.data.id === document.shaft.id ? { ...document, shaft: shaft.data } : document
  const journal = journalRowSchema.safeParse(row)
  if (journal.success && journal.data.shaftId === document.shaft.id) return withJournal(document, journal.data)
  const sizes = sizesRowSchema.safeParse(row)
  if (sizes.success && sizes.data.shaftId === document.shaft.id) return { ...document, sizes: placed(document.sizes, sizes.data) }
  return document
}

/** The document with what is not saved yet laid over it, so that a page opened anew shows what a person typed last. */
export function withWaiting(document: ShaftDocument, waiting: readonly PendingWrite[]): ShaftDocument {
  let current = document
  for (const write of waiting) current = withPending(current, write)
  return current
}

function withPending(document: ShaftDocument, write: PendingWrite): ShaftDocument {
  const [kind, id = ''] = write.key.split(':')
  if (kind === 'shaft' && id === document.shaft.id) {
    const body = z.object({ shaft: shaftSchema, cut: cutSchema.nullable() }).safeParse(write.body)
    return body.success ? { ...document, shaft: { ...document.shaft, ...body.data } } : document
  }
  if (kind === 'journal') {
    const body = z.object({ journal: journalSchema }).safeParse(write.body)
    const row = document.journals.find((candidate) => candidate.id === id)
    return body.success && row ? withJournal(document, { ...row, ...body.data }) : document
  }
  if (kind === 'sizes') {
    const body = z.object({ sizes: sizesSchema }).safeParse(write.body)
    const known = document.sizes.find((candidate) => candidate.id === id)
    const isNewHere = write.method === 'POST' && write.path === `/api/shafts/${document.shaft.id}/sizes`
    if (!body.success || !(known || isNewHere)) return document
    return { ...document, sizes: placed(document.sizes, { ...(known ?? newRow(id, document.shaft.id)), ...body.data }) }
  }
  return document
}

/** The document with a journal's row; where its name changed, what refers to it follows. */
export function withJournal(document: ShaftDocument, row: ShaftDocument['journals'][number]): ShaftDocument {
  const before = document.journals.find((other) => other.id === row.id)?.journal.id
  const journals = placed(document.journals, row)
  const after = row.journal.id
  if (before === undefined || before === after) return { ...document, journals }
  const follow = <Value extends { journalId: string }>(value: Value): Value =>
    value.journalId === before ? { ...value, journalId: after } : value
  return {
    ...document,
    journals,
    photos: document.photos.map((other) => ({ ...other, photo: follow(other.photo) })),
    marks: document.marks.map((other) => ({ ...other, mark: follow(other.mark) })),
    sizes: document.sizes.map((other) => ({ ...other, sizes: follow(other.sizes) })),
  }
}

/** A row that the server has not seen yet. */
export function newRow(id: string, shaftId: string) {
  return { id, shaftId, version: 1, position: 0, updatedAt: new Date().toISOString(), removedAt: null }
}

/** The list with the row in its predecessor's place, or at its end; without it where it was removed. */
export function placed<Row extends { id: string; removedAt: string | null }>(rows: readonly Row[], row: Row): Row[] {
  if (row.removedAt !== null) return rows.filter((other) => other.id !== row.id)
  return rows.some((other) => other.id === row.id) ? rows.map((other) => (other.id === row.id ? row : other)) : [...rows, row]
}
