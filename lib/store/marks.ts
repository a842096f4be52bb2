/** Marks as rows. */
import type { Mark } from '../model/mark'
import type { MarkRow } from '../model/rows'
import type { Mark as MarkRecord } from './generated/client'
import { columnsOnJournal } from './document-on-journal'
import { type Member, tableOf } from './member'
import { photoIdByName } from './photos'
import { memberFacts } from './row-facts'

type StoredMark = MarkRecord & { journal: { name: string }; photo: { name: string } | null }

export const marks: Member<Mark, StoredMark, MarkRow> = {
  kind: 'mark',
  table: (tx) => tableOf<StoredMark>(tx.mark, { journal: { select: { name: true } }, photo: { select: { name: true } } }),
  async columns(tx, shaftId, { photoId, ...mark }, path) {
    return {
      ...(await columnsOnJournal(tx, shaftId, mark, path)),
      photoId: photoId === undefined ? null : await photoIdByName(tx, shaftId, photoId, `${path}.photoId`),
    }
  },
  nameOf: (mark) => mark.id,
  documentOf,
  rowOf: (stored) => ({ ...memberFacts(stored), mark: documentOf(stored) }),
}

function documentOf(stored: StoredMark): Mark {
  const document = JSON.parse(stored.document) as Omit<Mark, 'id' | 'journalId' | 'photoId'>
  return { id: stored.name, journalId: stored.journal.name, ...(stored.photo && { photoId: stored.photo.name }), ...document }
}
