/** What journals, photos, marks, sizes and lifts have in common as rows of a shaft: order, name, version, removal and putting back. */
import { isDeepStrictEqual } from 'node:util'
import { AppError } from '../model/app-error'
import type { RowKind } from '../model/edit'
import type { Transaction } from './database'

export type MemberRecord = {
  id: string
  shaftId: string
  position: number
  version: number
  updatedAt: Date
  removedAt: Date | null
  removedWith: string | null
}

/** How one kind of row is kept. `Value` is the document of the inspection file, `Row` what the server answers. */
export type Member<Value, Stored extends MemberRecord, Row> = {
  kind: RowKind
  /** Read with the names of the rows it refers to. */
  table(tx: Transaction): Table<Stored>
  /** The columns that hold a document; resolves the names in it. */
  columns(tx: Transaction, shaftId: string, value: Value, path: string): Promise<Record<string, unknown>>
  /** The name that must be its own in the shaft, null where rows of this kind have none. */
  nameOf(value: Value): string | null
  documentOf(stored: Stored): Value
  rowOf(stored: Stored): Row
  /** Refuses a document that does not go with what the row keeps beside it. */
  refuse?(stored: Stored, value: Value, path: string): void
}

/** The few calls made on a Prisma delegate, whichever its model. */
export type Table<Stored> = {
  findUnique(id: string): Promise<Stored | null>
  findMany(where: object): Promise<Stored[]>
  create(data: object): Promise<unknown>
  updateMany(where: object, data: object): Promise<{ count: number }>
}

type Delegate = {
  findUnique(query: object): Promise<unknown>
  findMany(query: object): Promise<unknown>
  create(query: object): Promise<unknown>
  updateMany(query: object): Promise<{ count: number }>
}

/** Narrows a Prisma delegate; `include` names the rows that are read along. */
export function tableOf<Stored>(delegate: unknown, include: object): Table<Stored> {
  const { findUnique, findMany, create, updateMany } = delegate as Delegate
  return {
    findUnique: (id) => findUnique({ where: { id }, include }) as Promise<Stored | null>,
    findMany: (where) => findMany({ where, include, orderBy: [{ position: 'asc' }, { id: 'asc' }] }) as Promise<Stored[]>,
    create: (data) => create({ data }),
    updateMany: (where, data) => updateMany({ where, data }),
  }
}

export async function standingRows<Value, Stored extends MemberRecord, Row>(
  member: Member<Value, Stored, Row>,
  tx: Transaction,
  shaftId: string,
): Promise<Row[]> {
  return (await member.table(tx).findMany({ shaftId, removedAt: null })).map(member.rowOf)
}

/** @throws AppError not-found */
export async function storedRow<Value, Stored extends MemberRecord, Row>(
  member: Member<Value, Stored, Row>,
  tx: Transaction,
  id: string,
): Promise<Stored> {
  const stored = await member.table(tx).findUnique(id)
  if (!stored) throw new AppError('not-found', `There is no ${member.kind} with the id ${id}; read the shaft again.`)
  return stored
}

export type NewRow<Value> = { id: string; shaftId: string; position?: number; value: Value; more?: object; path: string }

/**
 * Adds a row. The same row again is harmless.
 * @throws AppError conflict when the id stands for something else, or the name is taken; bad-input for a name that refers to nothing
 */
export async function addRow<Value, Stored extends MemberRecord, Row>(
  member: Member<Value, Stored, Row>,
  tx: Transaction,
  row: NewRow<Value>,
  now: Date,
): Promise<void> {
  const table = member.table(tx)
  const known = await table.findUnique(row.id)
  if (known) {
    if (known.shaftId === row.shaftId && known.removedAt === null && isDeepStrictEqual(member.documentOf(known), row.value)) return
    throw new AppError('conflict', `The id ${row.id} already stands for another ${member.kind}; make a new id.`, { path: `${row.path}.id` })
  }
  await refuseTakenName(member, tx, row)
  const columns = await member.columns(tx, row.shaftId, row.value, row.path)
  const position = row.position ?? (await nextPosition(table, row.shaftId))
  await table.create({ id: row.id, shaftId: row.shaftId, ...columns, ...row.more, position, version: 1, updatedAt: now })
}

/** @throws AppError stale when the row has another version or was removed */
export async function changeRow<Value, Stored extends MemberRecord, Row>(
  member: Member<Value, Stored, Row>,
  tx: Transaction,
  change: { stored: Stored; version: number; position?: number; value: Value; path: string },
  now: Date,
): Promise<void> {
  const { stored, version, value, path } = change
  member.refuse?.(stored, value, path)
  await refuseTakenName(member, tx, { id: stored.id, shaftId: stored.shaftId, value, path })
  const columns = await member.columns(tx, stored.shaftId, value, path)
  const { count } = await member
    .table(tx)
    .updateMany(
      { id: stored.id, version, removedAt: null },
      { ...columns, position: change.position ?? stored.position, version: { increment: 1 }, updatedAt: now },
    )
  if (count === 0) throw staleRow(member.kind)
}

/** Takes away the rows that match; `removedWith` is the row whose removal this is. */
export async function takeAway<Value, Stored extends MemberRecord, Row>(
  member: Member<Value, Stored, Row>,
  tx: Transaction,
  where: object,
  removedWith: string,
  now: Date,
): Promise<string[]> {
  const table = member.table(tx)
  const ids = (await table.findMany({ ...where, removedAt: null })).map((stored) => stored.id)
  const free = member.kind === 'sizes' ? {} : { heldName: null }
  await table.updateMany({ id: { in: ids } }, { ...free, removedAt: now, removedWith, version: { increment: 1 }, updatedAt: now })
  return ids
}

/** Puts back what was taken away with `removedWith`. @throws AppError conflict when a name was given to another row meanwhile */
export async function putBack<Value, Stored extends MemberRecord, Row>(
  member: Member<Value, Stored, Row>,
  tx: Transaction,
  removedWith: string,
  now: Date,
): Promise<string[]> {
  const table = member.table(tx)
  const gone = await table.findMany({ removedWith, NOT: { removedAt: null } })
  for (const stored of gone) {
    const value = member.documentOf(stored)
    await refuseTakenName(member, tx, { id: stored.id, shaftId: stored.shaftId, value, path: '$' })
    const name = member.nameOf(value)
    const hold = name === null ? {} : { heldName: name }
    await table.updateMany({ id: stored.id }, { ...hold, removedAt: null, removedWith: null, version: { increment: 1 }, updatedAt: now })
  }
  return gone.map((stored) => stored.id)
}

export function staleRow(kind: string, current?: unknown): AppError {
  return new AppError('stale', `This ${kind} was changed meanwhile; take the newer row, and apply the change to it again.`, { current })
}

async function refuseTakenName<Value, Stored extends MemberRecord, Row>(
  member: Member<Value, Stored, Row>,
  tx: Transaction,
  row: { id: string; shaftId: string; value: Value; path: string },
): Promise<void> {
  const name = member.nameOf(row.value)
  if (name === null) return
  const holders = await member.table(tx).findMany({ shaftId: row.shaftId, heldName: name, NOT: { id: row.id } })
  if (holders.length > 0) {
    throw new AppError('conflict', `There is already a ${member.kind} named ${JSON.stringify(name)} on this shaft; give another name.`, {
      path: `${row.path}.id`,
    })
  }
}

async function nextPosition<Stored extends MemberRecord>(table: Table<Stored>, shaftId: string): Promise<number> {
  const rows = await table.findMany({ shaftId })
  return rows.reduce((last, row) => Math.max(last, row.position), 0) + 1
}
