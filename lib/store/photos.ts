/** Photographs as rows: the handles a person picked, beside the kept file. */
import { AppError } from '../model/app-error'
import type { Photo } from '../model/photo'
import type { PhotoFile, PhotoRow } from '../model/rows'
import type { Transaction } from './database'
import type { PhotoFile as FileRecord, Photo as PhotoRecord } from './generated/client'
import { columnsOnJournal, documentOnJournal } from './document-on-journal'
import { type Member, tableOf } from './member'
import { memberFacts, refusedName } from './row-facts'

export type StoredPhoto = PhotoRecord & { journal: { name: string }; file: FileRecord | null }

export const photos: Member<Photo, StoredPhoto, PhotoRow> = {
  kind: 'photo',
  table: (tx) => tableOf<StoredPhoto>(tx.photo, { journal: { select: { name: true } }, file: true }),
  columns: columnsOnJournal,
  nameOf: (photo) => photo.id,
  documentOf: documentOnJournal<Photo>,
  rowOf: (stored) => ({ ...memberFacts(stored), photo: documentOnJournal<Photo>(stored), file: stored.file && photoFileOf(stored.file) }),
  refuse(stored, value, path) {
    if (stored.file) refuseOtherSize(stored.file, value, path)
  },
}

/** The row id of the photo that has this name. @throws AppError bad-input */
export async function photoIdByName(tx: Transaction, shaftId: string, name: string, path: string): Promise<string> {
  const found = await tx.photo.findUnique({ where: { shaftId_heldName: { shaftId, heldName: name } }, select: { id: true } })
  if (!found) throw refusedName('photo', name, path)
  return found.id
}

/** Pixels of handles and marks count on the picture's own size. @throws AppError bad-input */
export function refuseOtherSize(file: { width: number; height: number }, photo: { width: number; height: number }, path: string): void {
  if (file.width === photo.width && file.height === photo.height) return
  const fault = `the photo is said to be ${photo.width} x ${photo.height} px, its file is ${file.width} x ${file.height} px`
  const remedy = 'give the size that the file has after EXIF orientation, or the file that belongs to it'
  throw new AppError('bad-input', `${path}.width: ${fault}; ${remedy}`, { faults: [{ path: `${path}.width`, fault, remedy }] })
}

export function photoFileOf(file: FileRecord): PhotoFile {
  const { sha256, bytes, mime, width, height, focal35Mm, focalMm } = file
  return { sha256, bytes, mime: mime as PhotoFile['mime'], width, height, lens: { focal35Mm, focalMm } }
}
