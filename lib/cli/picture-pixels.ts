/** The upright pixels of a photo's picture; a damaged one is a fault of the file. */
import path from 'node:path'
import { badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import type { Photo } from '../model/photo'
import type { Picture } from '../rollout/picture'
import { readPicture } from '../store/picture-reader'
import { uprightPixelsOf } from '../store/previews'

/** `index`: the photo's place in the inspection. @throws AppError bad-input */
export async function picturePixels(photo: Photo, index: number, bytes: Uint8Array): Promise<Picture> {
  const name = photo.file ?? photo.id
  try {
    const { mime } = await readPicture(path.basename(name), bytes)
    return await uprightPixelsOf(bytes, mime)
  } catch (error) {
    const why = error instanceof Error ? error.message.split('\n')[0] : String(error)
    const fault = `${name} is damaged or cut off (${why})`
    throw badInput([{ path: jsonPath(['photos', index, 'file']), fault, remedy: 'copy it from the camera again' }])
  }
}
