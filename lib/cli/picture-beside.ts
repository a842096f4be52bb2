/** A photograph's picture file beside the inspection file: read, told by its content, its size compared with what the file says. */
import { readFile } from 'node:fs/promises'
import path from 'node:path'
import { badInput } from '../model/app-error'
import type { Photo } from '../model/photo'
import type { LensData } from '../photo/lens-priors'
import { type Mime, readPicture } from '../store/picture-reader'

export type PictureFile = { name: string; path: string; bytes: Buffer; mime: Mime; lens: LensData }

/**
 * @param at JSON path of the photo, such as `$.photos[2]`
 * @throws AppError bad-input where the file lies elsewhere, is missing or has another size; what readPicture throws where it is no picture
 */
export async function pictureBeside(folder: string, photo: Pick<Photo, 'width' | 'height'> & { file?: string }, at: string): Promise<PictureFile> {
  const name = photo.file ?? ''
  const place = path.resolve(folder, name)
  const within = path.relative(folder, place)
  if (path.isAbsolute(name) || within.startsWith('..') || within === '') {
    throw badInput([{ path: `${at}.file`, fault: `${JSON.stringify(name)} does not lie beside the inspection file`, remedy: 'put the picture beside it and name it without a way out of its folder' }])
  }
  const bytes = await readFile(place).catch((error: NodeJS.ErrnoException) => {
    const why = error.code === 'ENOENT' ? 'there is no such file' : `it cannot be read (${error.code ?? error.message})`
    throw badInput([{ path: `${at}.file`, fault: `${JSON.stringify(place)}: ${why}`, remedy: 'put the picture beside the inspection file, or take "file" out of the photo' }])
  })
  const picture = await readPicture(name, bytes)
  if (picture.width !== photo.width || picture.height !== photo.height) {
    throw badInput([
      {
        path: `${at}.width`,
        fault: `the photo is said to have ${photo.width} x ${photo.height} px, the picture ${JSON.stringify(name)} has ${picture.width} x ${picture.height} after EXIF orientation`,
        remedy: 'name the picture in which the handles were picked, or correct width and height',
      },
    ])
  }
  return { name, path: `${at}.file`, bytes, mime: picture.mime, lens: picture.lens }
}
