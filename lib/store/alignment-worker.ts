/** Entry of the worker thread that lays a journal's photographs beside each other: one order a thread. */
import { parentPort, workerData } from 'node:worker_threads'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { PhotoFile } from '../model/rows'
import type { AlignedPhotos } from '../photo/alignment-record'
import { fitPhoto } from '../photo/cylinder-fit'
import { recordOfFit } from '../photo/fit-record'
import { alignJournal } from '../rollout/align-journal'
import { folderStorage } from './photo-storage'
import { uprightPixels } from './previews'

export type AlignmentOrder = { dataFolder: string; journal: Journal; photos: { photo: Photo; file: PhotoFile | null }[] }
export type FromAlignment = { say: 'progress'; done: number; of: number } | { say: 'done'; photos: AlignedPhotos }

const { dataFolder, journal, photos } = workerData as AlignmentOrder
const send = (message: FromAlignment) => parentPort?.postMessage(message)
const storage = folderStorage(dataFolder)
const files = new Map(photos.map(({ photo, file }) => [photo.id, file]))

const fits = await alignJournal(
  journal,
  photos.map(({ photo, file }) => {
    const lens = file?.lens ?? null
    return { photo, lens, outcome: fitPhoto(journal, photo, lens) }
  }),
  async (photo) => {
    const file = files.get(photo.id)
    return file ? uprightPixels(storage, file) : null
  },
  (done, of) => send({ say: 'progress', done, of }),
)
send({ say: 'done', photos: [...fits].map(([photoId, fit]) => ({ photoId, fit: recordOfFit(fit) })) })
