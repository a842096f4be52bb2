/** Entry of the worker thread that lays a journal's photographs beside each other: one order a thread. */
import { parentPort, workerData } from 'node:worker_threads'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { PhotoFile } from '../model/rows'
import { AppError } from '../model/app-error'
import { type AlignedPhotos, recordOfAlignment } from '../photo/alignment-record'
import { fitPhoto } from '../photo/cylinder-fit'
import { alignJournal } from '../rollout/align-journal'
import { folderStorage } from './photo-storage'
import { uprightPixels } from './previews'

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

const outcomes = await alignJournal(
  journal,
  photos.map(({ photo, file }) => {
    const lens = file?.lens ?? null
    return { photo, lens, outcome: fitPhoto(journal, photo, lens) }
  }),
  async (photo) => {
    const file = files.get(photo.id)
    if (!file) return null
    try {
      return await uprightPixels(storage, file)
    } catch (error) {
      if (!(error instanceof AppError && error.code === 'not-found')) throw error
      missing.push(`${photo.id}: ${error.message}`)
      return null
    }
  },
  (done, of) => send({ say: 'progress', done, of }),
)
send({ say: 'done', photos: recordOfAlignment(outcomes), missing })
