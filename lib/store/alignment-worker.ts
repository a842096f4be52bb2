/** Entry of the worker thread that finds the printed strip in a journal's photographs and lays the others beside each other: one order a thread. */
import { parentPort, workerData } from 'node:worker_threads'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { PhotoFile } from '../model/rows'
import { AppError } from '../model/app-error'
import { type AlignedPhotos, recordOfAlignment } from '../photo/alignment-record'
import { fitPhoto } from '../photo/cylinder-fit'
import { type FoundStrip, stripEntries } from '../photo/printed-strip-fit'
import { fitStripPhotos } from '../photo/printed-strip-result'
import { alignJournal } from '../rollout/align-journal'
import { folderStorage } from './photo-storage'
import { uprightPixels } from './previews'
import { stripInPhoto } from './strip-codes'

export type AlignmentOrder = { dataFolder: string; journal: Journal; photos: { photo: Photo; file: PhotoFile | null }[] }
export type FromAlignment =
  | { say: 'progress'; done: number; of: number }
  /** `missing`: what is to be said of pictures that the photo store no longer holds; the others are laid without them. */
  | { say: 'done'; photos: AlignedPhotos; missing: string[] }

const { dataFolder, journal, photos } = workerData as AlignmentOrder
const send = (message: FromAlignment) => parentPort?.postMessage(message)
const storage = folderStorage(dataFolder)
const files = new Map(photos.map(({ photo, file }) => [photo.id, file]))

const missing: string[] = []

async function pictureOf(photo: Photo) {
  const file = files.get(photo.id)
  if (!file) return null
  try {
    return await uprightPixels(storage, file)
  } catch (error) {
    if (!(error instanceof AppError && error.code === 'not-found')) throw error
    missing.push(`${photo.id}: ${error.message}`)
    return null
  }
}

const wearing = photos.filter(({ photo }) => photo.handles.strip === 'find')
const found = new Map<string, FoundStrip>()
for (const [i, { photo, file }] of wearing.entries()) {
  const strip = file && (await stripInPhoto(storage, { journal, photo, file }, () => pictureOf(photo)))
  if (strip) found.set(photo.id, strip)
  send({ say: 'progress', done: i + 1, of: wearing.length })
}
const strips = fitStripPhotos(
  journal,
  stripEntries(
    photos.map(({ photo }) => photo),
    found,
    (photo) => files.get(photo.id)?.lens ?? null,
  ),
)
const outcomes = new Map(strips)
const laid = await alignJournal(
  journal,
  photos.map(({ photo, file }) => {
    const lens = file?.lens ?? null
    return { photo, lens, outcome: strips.get(photo.id) ?? fitPhoto(journal, photo, lens) }
  }),
  pictureOf,
  (done, of) => send({ say: 'progress', done: wearing.length + done, of: wearing.length + of }),
)
for (const [id, outcome] of laid) outcomes.set(id, outcome)
send({ say: 'done', photos: recordOfAlignment(outcomes), missing })
