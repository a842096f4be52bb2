/** The kept files of photos and lifts. */
import { AppError } from '../model/app-error'
import type { PhotoFile } from '../model/rows'
import { database } from './database'
import { lifts } from './lifts'
import { storedRow } from './member'
import { photoStorage } from './photo-storage'
import { photoFileOf, photos } from './photos'

/** @throws AppError not-found when the photo is not there, came without its picture, or its file is gone */
export async function fileOfPhoto(id: string): Promise<PhotoFile> {
  const { file } = await storedRow(photos, database().client, id)
  if (!file) throw new AppError('not-found', 'This photo was imported without its picture; add the picture to it.')
  return standingFile(photoFileOf(file))
}

/** @throws AppError not-found when the lift is not there, or its file is gone */
export async function fileOfLift(id: string): Promise<PhotoFile> {
  return standingFile(lifts.rowOf(await storedRow(lifts, database().client, id)).file)
}

async function standingFile(file: PhotoFile): Promise<PhotoFile> {
  if (await photoStorage().hasOriginal(file.sha256)) return file
  throw new AppError('not-found', `The photo store no longer holds the original ${file.sha256}; put its file back from a backup.`)
}
