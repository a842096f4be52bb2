/** Shafts: the list, a new one, removal and putting back. */
import { AppError } from '../model/app-error'
import type { Journal } from '../model/journal'
import type { ShaftDocument, ShaftRow, ShaftSummary } from '../model/rows'
import { database, inTurn, type Transaction } from './database'
import { readDocument, refuseFaultyShaft } from './document'
import { journals } from './journals'
import { addRow, staleRow } from './member'
import { type ShaftValue, shaftColumns, shaftRowOf, toShaftRow } from './shaft-row'

/** The shafts last worked on first; `search` finds parts of name and label, whatever their case. */
export async function listShafts(search = '', removed = false): Promise<ShaftSummary[]> {
  const { client } = database()
  const stored = await client.shaft.findMany({
    where: removed ? { NOT: { removedAt: null } } : { removedAt: null },
    orderBy: [{ editedAt: 'desc' }, { position: 'asc' }, { id: 'asc' }],
    include: {
      journals: {
        where: { removedAt: null },
        orderBy: [{ position: 'asc' }, { id: 'asc' }],
        include: { _count: { select: { photos: { where: { removedAt: null } }, marks: { where: { removedAt: null } } } } },
      },
    },
  })
  const wanted = search.trim().toLocaleLowerCase()
  return stored
    .filter((shaft) => `${shaft.name} ${shaft.label}`.toLocaleLowerCase().includes(wanted))
    .map((shaft) => ({
      shaft: toShaftRow(shaft),
      journals: shaft.journals.map((journal) => ({
        id: journal.name,
        kind: (JSON.parse(journal.document) as Journal).kind,
        photos: journal._count.photos,
        marks: journal._count.marks,
      })),
    }))
}

export type NewShaft = ShaftValue & { id: string; journals: readonly { id: string; journal: Journal }[] }

/**
 * Puts a shaft on the bench, its journals with it. The same again is harmless.
 * @returns the shaft, and whether it is new
 * @throws AppError conflict, bad-input
 */
export function createShaft(shaft: NewShaft, now: Date): Promise<{ document: ShaftDocument; made: boolean }> {
  return inTurn(async (tx) => {
    const made = await insertShaft(tx, shaft, now)
    for (const [index, { id, journal }] of shaft.journals.entries()) {
      const row = { id, shaftId: shaft.id, position: index + 1, value: journal, path: `$.journals[${index}].journal` }
      await addRow(journals, tx, row, now)
    }
    const at = (rowId: string) => {
      const index = shaft.journals.findIndex((journal) => journal.id === rowId)
      return index < 0 ? null : `$.journals[${index}].journal`
    }
    await refuseFaultyShaft(tx, shaft.id, at)
    return { document: await readDocument(shaft.id, tx), made }
  })
}

/** @returns false when the very shaft stood already. @throws AppError conflict */
export async function insertShaft(tx: Transaction, value: ShaftValue & { id: string }, now: Date): Promise<boolean> {
  const touched = await tx.shaft.updateMany({ where: { id: value.id }, data: { editedAt: now } })
  if (touched.count > 0) {
    const known = await shaftRowOf(tx, value.id)
    const same = JSON.stringify(shaftColumns(known)) === JSON.stringify(shaftColumns(value))
    if (known.removedAt === null && same) return false
    throw new AppError('conflict', `The id ${value.id} already stands for another shaft; make a new id.`, { path: '$.id' })
  }
  const dates = { createdAt: now, updatedAt: now, editedAt: now }
  await tx.shaft.create({ data: { id: value.id, ...shaftColumns(value), ...dates, position: 0, version: 1 } })
  return true
}

/** @throws AppError stale, not-found */
export function removeShaft(id: string, version: number, now: Date): Promise<ShaftRow> {
  return switchShaft(id, version, now, { from: { removedAt: null }, to: now })
}

/** @throws AppError stale, not-found */
export function restoreShaft(id: string, version: number, now: Date): Promise<ShaftRow> {
  return switchShaft(id, version, now, { from: { NOT: { removedAt: null } }, to: null })
}

function switchShaft(id: string, version: number, now: Date, turn: { from: object; to: Date | null }): Promise<ShaftRow> {
  return inTurn(async (tx) => {
    const { count } = await tx.shaft.updateMany({
      where: { id, version, ...turn.from },
      data: { removedAt: turn.to, version: { increment: 1 }, updatedAt: now, editedAt: now },
    })
    const row = await shaftRowOf(tx, id)
    if (count === 0) throw staleRow('shaft', { rows: [{ kind: 'shaft', row }] })
    return row
  })
}
