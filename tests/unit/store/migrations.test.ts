/** Migrations: ordinary folders, each applied once, Prisma's own table kept, child rows never lost. */
import { createHash } from 'node:crypto'
import { mkdir, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { createClient } from '@libsql/client'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { migrate } from '../../../lib/store/migrations'
import { migrationsFolder } from './kept-data'

let folder: string
beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'throwmark-migrations-'))
})
afterEach(() => rm(folder, { recursive: true, force: true }))

const file = () => path.join(folder, 'kept.sqlite')
async function script(name: string, sql: string): Promise<void> {
  await mkdir(path.join(folder, 'scripts', name), { recursive: true })
  await writeFile(path.join(folder, 'scripts', name, 'migration.sql'), sql)
}
const scripts = () => path.join(folder, 'scripts')
async function query(sql: string) {
  const client = createClient({ url: `file:${file()}` })
  const { rows } = await client.execute(sql)
  client.close()
  return rows.map((row) => ({ ...row }))
}

describe('migrations', () => {
  it('are applied once, and written down as Prisma writes them', async () => {
    const applied = await migrate(file(), migrationsFolder)
    expect(applied.length).toBeGreaterThan(0)
    expect(await migrate(file(), migrationsFolder)).toEqual([])
    const first = applied[0] as string
    const sql = await readFile(path.join(migrationsFolder, first, 'migration.sql'))
    const [row] = await query(`SELECT * FROM _prisma_migrations WHERE migration_name = '${first}'`)
    expect(row).toMatchObject({ checksum: createHash('sha256').update(sql).digest('hex'), applied_steps_count: 1, rolled_back_at: null })
    expect(row?.finished_at).not.toBeNull()
  })

  it('make the tables of the schema, no more and no less', async () => {
    await migrate(file(), migrationsFolder)
    const schema = await readFile(path.join(migrationsFolder, '../schema.prisma'), 'utf8')
    const models = [...schema.matchAll(/^model (\w+) \{([\s\S]*?)^\}/gm)].map(([, name, body]) => ({
      name: name as string,
      columns: [...(body as string).matchAll(/^ {2}(\w+)\s+(?:String|Int|Float|DateTime|Boolean)\b/gm)]
        .map(([, column]) => column as string)
        .sort(),
    }))
    expect(models.length).toBeGreaterThan(4)
    const tables = await query(
      "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name NOT LIKE '_prisma%'",
    )
    expect(tables.map(({ name }) => name).sort()).toEqual(models.map(({ name }) => name).sort())
    for (const model of models) {
      const columns = await query(`SELECT name FROM pragma_table_info('${model.name}')`)
      expect(columns.map(({ name }) => String(name)).sort()).toEqual(model.columns)
    }
  })

  it('that rebuild a table keep the rows that hang on it', async () => {
    await script('1_begin', 'CREATE TABLE a (id INTEGER PRIMARY KEY); CREATE TABLE b (a INTEGER REFERENCES a (id) ON DELETE CASCADE);')
    await migrate(file(), scripts())
    await query('INSERT INTO a VALUES (1)')
    await query('INSERT INTO b VALUES (1)')
    await script(
      '2_rebuild',
      'CREATE TABLE new_a (id INTEGER PRIMARY KEY, x TEXT); INSERT INTO new_a (id) SELECT id FROM a; DROP TABLE a; ALTER TABLE new_a RENAME TO a;',
    )
    expect(await migrate(file(), scripts())).toEqual(['2_rebuild'])
    expect(await query('SELECT * FROM b')).toEqual([{ a: 1 }])
  })

  it('that break off leave nothing of themselves', async () => {
    await script('1_begin', 'CREATE TABLE a (id INTEGER PRIMARY KEY);')
    await script('2_breaks', 'CREATE TABLE c (id INTEGER); INSERT INTO nowhere VALUES (1);')
    await expect(migrate(file(), scripts())).rejects.toThrow(/nowhere/)
    expect(await query("SELECT name FROM sqlite_master WHERE name IN ('a', 'c')")).toEqual([{ name: 'a' }])
    expect(await query('SELECT migration_name FROM _prisma_migrations')).toEqual([{ migration_name: '1_begin' }])
  })

  it('that were changed, or are of a newer version, are refused by name', async () => {
    await script('1_begin', 'CREATE TABLE a (id INTEGER PRIMARY KEY);')
    await migrate(file(), scripts())
    await script('1_begin', 'CREATE TABLE a (id TEXT PRIMARY KEY);')
    await expect(migrate(file(), scripts())).rejects.toThrow(/1_begin was changed/)
    await rm(scripts(), { recursive: true })
    await mkdir(scripts())
    await expect(migrate(file(), scripts())).rejects.toThrow(/1_begin, which this version does not know/)
  })
})
