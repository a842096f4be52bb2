/** An inspection file or a bundle from the disk, with what its pictures say of their lenses. */
import { readFile, stat } from 'node:fs/promises'
import path from 'node:path'
import type { LensByPhoto } from '../finding/assess'
import { readInspectionText } from '../journal/read-inspection'
import { AppError, badInput } from '../model/app-error'
import { type Fault, jsonPath } from '../model/fault'
import type { InspectionMm } from '../model/inspection'
import type { Photo } from '../model/photo'

export type InspectionFile = {
  inspection: InspectionMm
  lensByPhoto: LensByPhoto
  /** Bytes of a photo's picture; null where the file names none or it does not lie there. */
  picture(photo: Photo): Promise<Uint8Array | null>
  /** Sentences for standard error. */
  remarks: string[]
}

/** @throws AppError bad-input, not-found */
export async function readInspectionFile(file: string): Promise<InspectionFile> {
  const bytes = await bytesOf(file)
  const { text, picture } = bytes[0] === 0x50 && bytes[1] === 0x4b ? await fromBundle(bytes) : besideFile(file, bytes)
  const read = readInspectionText(text)
  if (!read.ok) throw badInput(read.reason)
  const remarks: string[] = []
  const faults: Fault[] = []
  const lensByPhoto: Record<string, LensByPhoto[string]> = {}
  for (const [i, photo] of read.value.photos.entries()) {
    if (photo.file === undefined) continue
    const found = await picture(photo)
    if (!found) {
      if (photo.focalPx === null)
        remarks.push(`photo ${photo.id}: ${photo.file} is not there, so EXIF is silent and the focal length is solved.`)
      continue
    }
    const outcome = await lensOf(photo, i, found)
    if ('faults' in outcome) faults.push(...outcome.faults)
    else lensByPhoto[photo.id] = outcome.lens
  }
  if (faults.length > 0) throw badInput(faults)
  return { inspection: read.value, lensByPhoto, picture, remarks }
}

async function bytesOf(file: string): Promise<Buffer> {
  try {
    return await readFile(file)
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code
    const why = code === 'ENOENT' ? 'there is no such file' : code === 'EISDIR' ? 'this is a folder' : `it cannot be read (${code})`
    throw new AppError('not-found', `${why}; name an inspection file or a bundle`)
  }
}

function besideFile(file: string, bytes: Buffer): { text: string; picture: InspectionFile['picture'] } {
  const folder = path.dirname(path.resolve(file))
  return {
    text: bytes.toString('utf8'),
    async picture(photo) {
      if (photo.file === undefined) return null
      const place = path.resolve(folder, photo.file)
      const isFile = await stat(place).then(
        (found) => found.isFile(),
        () => false,
      )
      return isFile ? readFile(place) : null
    },
  }
}

async function fromBundle(bytes: Buffer): Promise<{ text: string; picture: InspectionFile['picture'] }> {
  const { readArchive } = await import('../store/zip')
  const archive = readArchive(bytes)
  return {
    text: archive.inspection,
    picture: async (photo) => (photo.file === undefined ? null : (archive.files.get(photo.file) ?? null)),
  }
}

/** The lens data of a picture; a fault where it is no picture, or not of the size that its picks were made on. */
async function lensOf(photo: Photo, i: number, bytes: Uint8Array): Promise<{ lens: LensByPhoto[string] } | { faults: Fault[] }> {
  const { readPicture } = await import('../store/picture-reader')
  const name = photo.file ?? photo.id
  try {
    const { width, height, lens } = await readPicture(path.basename(name), bytes)
    if (width === photo.width && height === photo.height) return { lens }
    return {
      faults: [
        {
          path: jsonPath(['photos', i, width === photo.width ? 'height' : 'width']),
          fault: `the file says ${photo.width} x ${photo.height}, ${name} has ${width} x ${height} after its EXIF orientation`,
          remedy: 'give the size of the picture that the handles were picked on',
        },
      ],
    }
  } catch (error) {
    if (!(error instanceof AppError)) throw error
    return { faults: [{ path: jsonPath(['photos', i, 'file']), fault: error.message, remedy: 'or leave "file" out' }] }
  }
}
