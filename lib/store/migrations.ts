/**
 * Applies the ordinary migration folders of prisma/migrations at start and keeps Prisma's own table `_prisma_migrations`
 * (checksum: sha256 of the script), so that Prisma's engine agrees with what stands.
 */
import { createHash, randomUUID } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import path from 'node:path'
import { createClient } from '@libsql/client'
import { AppError } from '../model/app-error'

const ledger = `CREATE TABLE IF NOT EXISTS "_prisma_migrations" (
  "id" TEXT PRIMARY KEY NOT NULL, "checksum" TEXT NOT NULL, "finished_at" DATETIME, "migration_name" TEXT NOT NULL, "logs" TEXT,
  "rolled_back_at" DATETIME, "started_at" DATETIME NOT NULL DEFAULT current_timestamp, "applied_steps_count" INTEGER UNSIGNED NOT NULL DEFAULT 0)`

/**
 * Brings the database file up to the migrations in `folder`; each in a transaction of its own.
 * @returns the names applied now
 * @throws AppError conflict when an applied script was changed since, or the file holds a migration that this program does not know
 */
export async function migrate(databaseFile: string, folder: string): Promise<string[]> {
  const scripts = await readScripts(folder)
  const client = createClient({ url: `file:${databaseFile}` })
  try {
    await client.execute('PRAGMA journal_mode=WAL')
    await client.execute(ledger)
    const { rows } = await client.execute('SELECT migration_name, checksum FROM "_prisma_migrations" WHERE finished_at IS NOT NULL')
    const applied = new Map(rows.map((row) => [String(row.migration_name), String(row.checksum)]))
    refuseStrangers(applied, scripts, databaseFile)
    const pending = scripts.filter((script) => !applied.has(script.name))
    for (const script of pending) await client.executeMultiple(asTransaction(script))
    return pending.map((script) => script.name)
  } finally {
    client.close()
  }
}

type Script = { name: string; sql: string; checksum: string }

async function readScripts(folder: string): Promise<Script[]> {
  const entries = await readdir(folder, { withFileTypes: true })
  const names = entries
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .sort()
  return Promise.all(
    names.map(async (name) => {
      const sql = await readFile(path.join(folder, name, 'migration.sql'), 'utf8')
      return { name, sql, checksum: createHash('sha256').update(sql).digest('hex') }
    }),
  )
}

function refuseStrangers(applied: Map<string, string>, scripts: readonly Script[], databaseFile: string): void {
  for (const [name, checksum] of applied) {
    const script = scripts.find((known) => known.name === name)
    if (!script) {
      throw new AppError(
        'conflict',
        `${databaseFile}: holds the migration ${name}, which this version does not know; start the newer version of Throwmark.`,
      )
    }
    if (script.checksum !== checksum) {
      throw new AppError(
        'conflict',
        `${databaseFile}: the migration ${name} was changed after it was applied; put its script back as it was.`,
      )
    }
  }
}

/** Foreign keys are switched outside the transaction: inside it the pragma does nothing, and a rebuilt table would lose its child rows. */
function asTransaction(script: Script): string {
  const row = `INSERT INTO "_prisma_migrations" ("id", "checksum", "migration_name", "finished_at", "applied_steps_count")
    VALUES ('${randomUUID()}', '${script.checksum}', '${script.name.replaceAll("'", "''")}', current_timestamp, 1)`
  return `PRAGMA foreign_keys=OFF;\nBEGIN;\n${script.sql}\n;${row};\nCOMMIT;\nPRAGMA foreign_keys=ON;`
}
