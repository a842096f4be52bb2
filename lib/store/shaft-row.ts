/** The row of a shaft itself: its name, label and what its cut plan starts from. */
import { AppError } from '../model/app-error'
import type { Cut } from '../model/cut'
import type { ShaftRow } from '../model/rows'
import type { Transaction } from './database'
import type { Shaft as ShaftRecord } from './generated/client'
import { staleRow } from './member'
import { rowFacts } from './row-facts'

export type ShaftValue = Pick<ShaftRow, 'shaft' | 'cut'>

/** @throws AppError not-found */
export async function shaftRowOf(tx: Transaction, id: string): Promise<ShaftRow> {
  const stored = await tx.shaft.findUnique({ where: { id } })
  if (!stored) throw new AppError('not-found', `There is no shaft with the id ${id}; open the list of shafts.`)
  return toShaftRow(stored)
}

export function toShaftRow(stored: ShaftRecord): ShaftRow {
  const cut = stored.cut === null ? null : (JSON.parse(stored.cut) as Cut)
  return { ...rowFacts(stored), shaft: { id: stored.name, label: stored.label }, cut }
}

export function shaftColumns({ shaft, cut }: ShaftValue) {
  return { name: shaft.id, label: shaft.label, cut: cut === null ? null : JSON.stringify(cut) }
}

/** @throws AppError stale */
export async function changeShaft(tx: Transaction, change: { id: string; version: number; value: ShaftValue }, now: Date): Promise<void> {
  const { count } = await tx.shaft.updateMany({
    where: { id: change.id, version: change.version, removedAt: null },
    data: { ...shaftColumns(change.value), version: { increment: 1 }, updatedAt: now },
  })
  if (count === 0) throw staleRow('shaft', { rows: [{ kind: 'shaft', row: await shaftRowOf(tx, change.id) }] })
}
