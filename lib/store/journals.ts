/** Journals as rows. */
import type { Journal } from '../model/journal'
import type { JournalRow } from '../model/rows'
import type { Transaction } from './database'
import type { Journal as JournalRecord } from './generated/client'
import { type Member, tableOf } from './member'
import { memberFacts, refusedName } from './row-facts'

export const journals: Member<Journal, JournalRecord, JournalRow> = {
  kind: 'journal',
  table: (tx) => tableOf<JournalRecord>(tx.journal, {}),
  async columns(_tx, _shaftId, { id, ...document }) {
    return { name: id, heldName: id, document: JSON.stringify(document) }
  },
  nameOf: (journal) => journal.id,
  documentOf,
  rowOf: (stored) => ({ ...memberFacts(stored), journal: documentOf(stored) }),
}

/** The row id of the journal that has this name. @throws AppError bad-input */
export async function journalIdByName(tx: Transaction, shaftId: string, name: string, path: string): Promise<string> {
  const found = await tx.journal.findUnique({ where: { shaftId_heldName: { shaftId, heldName: name } }, select: { id: true } })
  if (!found) throw refusedName('journal', name, path)
  return found.id
}

function documentOf(stored: JournalRecord): Journal {
  return { id: stored.name, ...(JSON.parse(stored.document) as Omit<Journal, 'id'>) }
}
