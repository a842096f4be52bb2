/** The one database client of the process, and the one way to write: a transaction that locks before it reads. */
import path from 'node:path'
import { PrismaLibSql } from '@prisma/adapter-libsql'
import { AppError } from '../model/app-error'
import { type Prisma, PrismaClient } from './generated/client'
import { readSettings } from './settings'

export type Transaction = Prisma.TransactionClient
export type Database = { client: PrismaClient; queue: Promise<unknown> }

const busyMs = 5000
const longestGestureMs = 120_000

/** Route handlers are bundled apart from one another: the process-wide place keeps them on one client and one queue. */
const processWide = globalThis as typeof globalThis & { throwmarkDatabase?: Database }

export function databaseFile(dataFolder: string): string {
  return path.join(dataFolder, 'throwmark.sqlite')
}

function openDatabase(dataFolder: string): Database {
  const adapter = new PrismaLibSql({ url: `file:${databaseFile(dataFolder)}`, timeout: busyMs })
  return { client: new PrismaClient({ adapter }), queue: Promise.resolve() }
}

/** The database of the running program, opened at first use. */
export function database(): Database {
  processWide.throwmarkDatabase ??= openDatabase(readSettings(process.env, process.cwd()).dataFolder)
  return processWide.throwmarkDatabase
}

export async function closeDatabase(): Promise<void> {
  const open = processWide.throwmarkDatabase
  processWide.throwmarkDatabase = undefined
  await open?.queue
  await open?.client.$disconnect()
}

/**
 * Runs one gesture's writes on a shaft: all of them or none. Gestures of this process wait for one another; the first
 * statement is a write, so that another process's gesture waits as well instead of failing half way.
 * @throws AppError not-found when there is no such shaft, or it was removed
 */
export function writeShaft<Value>(shaftId: string, now: Date, work: (tx: Transaction) => Promise<Value>): Promise<Value> {
  return inTurn(async (tx) => {
    const { count } = await tx.shaft.updateMany({ where: { id: shaftId, removedAt: null }, data: { editedAt: now } })
    if (count === 0) throw new AppError('not-found', 'There is no such shaft, or it was removed; open the list of shafts.')
    return work(tx)
  })
}

/** Runs writes whose first statement is a write of their own. */
export function inTurn<Value>(work: (tx: Transaction) => Promise<Value>): Promise<Value> {
  const { client } = database()
  const turn = database().queue.then(() => client.$transaction(work, { maxWait: longestGestureMs, timeout: longestGestureMs }))
  database().queue = turn.catch(() => undefined)
  return turn
}
