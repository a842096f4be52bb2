/** Micrometer readings as rows, one row a journal. */
import type { Sizes } from '../model/cut'
import type { SizesRow } from '../model/rows'
import type { Sizes as SizesRecord } from './generated/client'
import { journalIdByName } from './journals'
import { type Member, tableOf } from './member'
import { memberFacts } from './row-facts'

type StoredSizes = SizesRecord & { journal: { name: string } }

export const sizes: Member<Sizes, StoredSizes, SizesRow> = {
  kind: 'sizes',
  table: (tx) => tableOf<StoredSizes>(tx.sizes, { journal: { select: { name: true } } }),
  async columns(tx, shaftId, { journalId, ...document }, path) {
    return { journalId: await journalIdByName(tx, shaftId, journalId, `${path}.journalId`), document: JSON.stringify(document) }
  },
  nameOf: () => null,
  documentOf,
  rowOf: (stored) => ({ ...memberFacts(stored), sizes: documentOf(stored) }),
}

function documentOf(stored: StoredSizes): Sizes {
  return { journalId: stored.journal.name, ...(JSON.parse(stored.document) as Omit<Sizes, 'journalId'>) }
}
