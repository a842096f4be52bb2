/** Rows that belong to a journal and keep all but their name and the journal's as one document: photographs, marks, lifts. */
import type { Transaction } from './database'
import { journalIdByName } from './journals'

type OnJournal = { id: string; journalId: string }
type Stored = { name: string; journal: { name: string }; document: string }

/** @throws AppError bad-input where no journal of that name stands on the shaft */
export async function columnsOnJournal(tx: Transaction, shaftId: string, { id, journalId, ...document }: OnJournal, path: string) {
  return {
    name: id,
    heldName: id,
    journalId: await journalIdByName(tx, shaftId, journalId, `${path}.journalId`),
    document: JSON.stringify(document),
  }
}

export function documentOnJournal<Document extends OnJournal>({ name, journal, document }: Stored): Document {
  return { id: name, journalId: journal.name, ...JSON.parse(document) } as Document
}
