/** The example shafts of a new data folder: one as a person would have left it, and an untouched copy to try one's hand on. */
import { existsSync } from 'node:fs'
import { readFile, rm, writeFile } from 'node:fs/promises'
import path from 'node:path'
import { readInspectionText } from '../journal/read-inspection'
import { badInput } from '../model/app-error'
import type { InspectionMm } from '../model/inspection'
import { handlesSchema } from '../model/photo'
import { database, databaseFile } from './database'
import { keptPictures, writeInspection } from './imports'
import { restoreShaft } from './shafts'

export const workedShaftId = '2b1f7c1e-5d0a-4c55-9a64-2217a0000001'
export const untouchedShaftId = '2b1f7c1e-5d0a-4c55-9a64-2217a0000002'

export type DemoPlace = { dataFolder: string; demo: boolean; demoFolder: string; tell: (line: string) => void }

/** Migrates, then seeds a data folder that held no database before. A seeding that was broken off is finished at the next start. */
export async function seedIfNew({ dataFolder, demo, demoFolder, tell }: DemoPlace, migrateNow: () => Promise<unknown>): Promise<void> {
  const pending = path.join(dataFolder, 'example-shafts.pending')
  if (demo && !existsSync(databaseFile(dataFolder))) await writeFile(pending, '')
  await migrateNow()
  if (!existsSync(pending)) return
  tell('Putting the example shafts on the bench …')
  await seedDemo(demoFolder)
  await rm(pending)
}

/** Through the same code that imports what a person brings. A shaft that stands already, or was removed, is left as it is. */
export async function seedDemo(demoFolder: string): Promise<void> {
  const read = readInspectionText(await readFile(path.join(demoFolder, 'inspection.json'), 'utf8'))
  if (!read.ok) throw badInput(read.reason)
  const worked = read.value
  const names = worked.photos.flatMap((photo) => photo.file ?? [])
  const files = new Map(await Promise.all(names.map(async (name) => [name, await readFile(path.join(demoFolder, name))] as const)))
  const pictures = await keptPictures(worked, files)
  for (const [id, inspection] of [
    [untouchedShaftId, untouched(worked)],
    [workedShaftId, worked],
  ] as const) {
    if (!(await knownShaft(id))) await writeInspection(inspection, id, pictures, new Date())
  }
}

/** Sees to it that the worked example stands on the bench: left as it is, put back, or seeded. @returns its row id */
export async function openExample(demoFolder: string): Promise<string> {
  const known = await knownShaft(workedShaftId)
  if (known && known.removedAt !== null) await restoreShaft(workedShaftId, known.version, new Date())
  if (!known) await seedDemo(demoFolder)
  return workedShaftId
}

function knownShaft(id: string) {
  return database().client.shaft.findUnique({ where: { id }, select: { version: true, removedAt: true } })
}

function untouched(worked: InspectionMm): InspectionMm {
  return {
    ...worked,
    shaft: { id: `${worked.shaft.id}-2`, label: `${worked.shaft.label}, untouched copy to try your hand on` },
    photos: worked.photos.map((photo) => ({ ...photo, handles: handlesSchema.parse({}), ignore: [] })),
    marks: [],
    sizes: [],
  }
}
