/**
 * The photographs of each journal laid beside each other, so that those without an oil hole or witness mark take their
 * angle about the shaft from their neighbours. Worked out in a worker thread; what came out lies with the derived
 * pictures, with the key of what it was made from, and is made anew where it is missing, damaged or old.
 */
import { createHash } from 'node:crypto'
import { z } from 'zod'
import { type FitOutcome, fitPhotos } from '../finding/assess'
import { AppError } from '../model/app-error'
import type { JournalRow, PhotoRow, ShaftDocument } from '../model/rows'
import {
  type AlignedPhotos,
  alignedPhotosSchema,
  type AlignmentWish,
  type JournalAlignment,
  outcomeOfRecord,
} from '../photo/alignment-record'
import { photosToAlign } from '../rollout/align-journal'
import { alignmentText } from '../rollout/alignment-source'
import { forgetSettled, jobUnderWay, orderAlignment, settle, settledState, stopAlignment } from './alignment-desk'
import { inspectionOf, lensByPhoto } from './document'
import { type PhotoStorage, photoStorage } from './photo-storage'
import { readSettings } from './settings'

const variant = 'alignment.json'
const keptSchema = z.object({ key: z.string(), photos: alignedPhotosSchema })

/** How the alignment of every journal stands. What is needed and not there is put in line. */
export function alignmentsOf(document: ShaftDocument, storage: PhotoStorage = photoStorage()): Promise<JournalAlignment[]> {
  const fits = lazily(() => fitPhotos(inspectionOf(document), lensByPhoto(document)))
  return Promise.all(document.journals.map((row) => alignmentOf(document, row, storage, fits)))
}

/** Fits of all photographs by name, the aligned ones where they are ready. */
export async function alignedFits(document: ShaftDocument, storage: PhotoStorage = photoStorage()): Promise<Map<string, FitOutcome>> {
  const fits = fitPhotos(inspectionOf(document), lensByPhoto(document))
  for (const row of document.journals) {
    const { photos } = await alignmentOf(document, row, storage, () => fits)
    for (const record of photos ?? []) {
      const own = fits.get(record.photoId)
      if (own) fits.set(record.photoId, outcomeOfRecord(record, own))
    }
  }
  return fits
}

/** @throws AppError not-found where the shaft has no journal of that name */
export function wishForAlignment(document: ShaftDocument, { journalId, wish }: AlignmentWish): void {
  const row = document.journals.find(({ journal }) => journal.id === journalId)
  if (!row) throw new AppError('not-found', `There is no journal named ${JSON.stringify(journalId)}.`)
  if (wish === 'stop') stopAlignment(row.id)
  else forgetSettled(row.id)
}

async function alignmentOf(
  document: ShaftDocument,
  row: JournalRow,
  storage: PhotoStorage,
  fits: () => ReadonlyMap<string, FitOutcome>,
): Promise<JournalAlignment> {
  const rows = document.photos.filter(
    ({ photo, file }) => photo.journalId === row.journal.id && (file !== null || photo.file !== undefined || photo.handles.strip !== null),
  )
  const key = keyOf(row, rows)
  const stands = (state: JournalAlignment['state'], more: Partial<JournalAlignment> = {}): JournalAlignment => ({
    journalId: row.journal.id,
    state,
    done: 0,
    of: 0,
    key,
    ...more,
  })
  const settled = settledState(row.id, key)
  // its thread may still be ending
  if (settled?.state === 'stopped') return stands('stopped')
  const underWay = jobUnderWay(key)
  if (underWay) return stands('working', { done: underWay.done, of: underWay.of })
  if (settled?.state === 'not-needed') return stands('not-needed')
  if (settled?.state === 'failed') return stands('failed', { detail: settled.detail })
  if (settled)
    return stands('ready', { photos: settled.photos, done: settled.photos.length, of: settled.photos.length, detail: settled.detail })
  const kept = await keptAlignment(storage, row.id)
  if (kept?.key === key) return stands('ready', { photos: kept.photos, done: kept.photos.length, of: kept.photos.length })
  const { beside, closeUps } = photosToAlign(
    rows.flatMap(({ photo, file }) => {
      const outcome = fits().get(photo.id)
      return outcome ? [{ photo, lens: file?.lens ?? null, outcome }] : []
    }),
  )
  const wearing = rows.filter(({ photo, file }) => file !== null && photo.handles.strip === 'find').length
  const of = wearing + beside.length + closeUps.length
  if (of === 0) {
    settle(row.id, { key, state: 'not-needed' })
    return stands('not-needed')
  }
  if (!jobUnderWay(key))
    orderAlignment({
      journalRow: row.id,
      key,
      order: {
        dataFolder: readSettings(process.env, process.cwd()).dataFolder,
        journal: row.journal,
        photos: rows.map(({ photo, file }) => ({ photo, file })),
      },
      done: 0,
      of,
      keep: (photos) => storage.putDerived(row.id, variant, Buffer.from(JSON.stringify({ key, photos }))),
    })
  return stands('working', { of })
}

function keyOf({ journal }: JournalRow, rows: readonly PhotoRow[]): string {
  const photos = rows.map(({ photo, file }) => ({ photo, lens: file?.lens ?? null, sha256: file?.sha256 ?? null }))
  return createHash('sha256').update(alignmentText({ journal, photos })).digest('hex')
}

/** Null where there is none, or it cannot be read. */
async function keptAlignment(storage: PhotoStorage, journalRow: string): Promise<{ key: string; photos: AlignedPhotos } | null> {
  const bytes = await storage.readDerived(journalRow, variant)
  if (!bytes) return null
  try {
    return keptSchema.parse(JSON.parse(bytes.toString('utf8')))
  } catch {
    return null
  }
}

function lazily<Value>(make: () => Value): () => Value {
  let made: Value | undefined
  return () => {
    made ??= make()
    return made
  }
}
