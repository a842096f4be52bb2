/** A data folder with a fresh database for one test file. */
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { closeDatabase, databaseFile } from '../../../lib/store/database'
import { migrate } from '../../../lib/store/migrations'

export const migrationsFolder = fileURLToPath(new URL('../../../prisma/migrations', import.meta.url))

export type KeptData = { folder: string; dispose: () => Promise<void> }

/** Points the store of this process at a new folder. */
export async function keptData(): Promise<KeptData> {
  const folder = await mkdtemp(path.join(tmpdir(), 'throwmark-store-'))
  process.env.THROWMARK_DATA = folder
  await migrate(databaseFile(folder), migrationsFolder)
  return {
    folder,
    async dispose() {
      await closeDatabase()
      delete process.env.THROWMARK_DATA
      await rm(folder, { recursive: true, force: true })
    },
  }
}
