/**
 * What a picture file is, told by its content: type, size after EXIF orientation, what EXIF says of the lens.
 * Reads headers only; `decodeWhole` is the check that the pixels are all there. Used by the server and the command line.
 * Signatures: JPEG ISO/IEC 10918-1, PNG ISO/IEC 15948, WebP RFC 9649, TIFF 6.0, HEIC ISO/IEC 23008-12. EXIF tags: CIPA DC-008.
 */
import exifReader from 'exif-reader'
import sharp, { type Metadata } from 'sharp'
import { AppError } from '../model/app-error'
import type { Lens, PhotoFile } from '../model/rows'
import { decodeHeic } from './heic'

export const largestBytes = 60_000_000
export const largestPixels = 100_000_000

export type Mime = PhotoFile['mime']
export type Picture = { mime: Mime; width: number; height: number; lens: Lens }

const kinds: Record<Mime, { word: string; extensions: readonly string[] }> = {
  'image/jpeg': { word: 'JPEG', extensions: ['jpg', 'jpeg', 'jpe', 'jfif'] },
  'image/png': { word: 'PNG', extensions: ['png'] },
  'image/webp': { word: 'WebP', extensions: ['webp'] },
  'image/tiff': { word: 'TIFF', extensions: ['tif', 'tiff'] },
  'image/heic': { word: 'HEIC', extensions: ['heic', 'heif', 'hif'] },
}
const servedWords = 'JPEG, PNG, WebP, TIFF or HEIC'

/**
 * Reads the headers of a picture.
 * @param name the file's name, for messages and for the check that it does not claim another type
 * @throws AppError too-large (over 60 MB or 100 megapixels), unsupported-picture (empty, not a picture, misnamed, damaged header)
 */
export async function readPicture(name: string, bytes: Uint8Array): Promise<Picture> {
  refuseBySize(name, bytes.byteLength)
  const mime = typeByContent(bytes)
  if (!mime) throw unsupported(name, `is not a picture in ${servedWords}`, `save it as one of these and choose it again`)
  refuseMisnamed(name, mime)
  const metadata = await headerOf(name, mime, bytes)
  const turned = mime !== 'image/heic' && (metadata.orientation ?? 1) >= 5
  const [width, height] = turned ? [metadata.height, metadata.width] : [metadata.width, metadata.height]
  if (width * height > largestPixels) {
    throw new AppError(
      'too-large',
      `${name}: has ${Math.round((width * height) / 1e6)} megapixels, more than the ${largestPixels / 1e6} that are taken; save it smaller and choose it again.`,
    )
  }
  return { mime, width, height, lens: lensOf(mime, metadata, bytes) }
}

/** Refuses an empty or oversize file before anything is read of it. */
export function refuseBySize(name: string, bytes: number): void {
  if (bytes === 0) throw unsupported(name, 'is empty', 'copy it from the camera again')
  if (bytes > largestBytes) {
    throw new AppError(
      'too-large',
      `${name}: has ${Math.ceil(bytes / 1e6)} MB, more than the ${largestBytes / 1e6} MB that are taken; save it smaller and choose it again.`,
    )
  }
}

/**
 * Decodes every pixel, so that a file cut off in the middle is found before it is kept.
 * @returns the size of the upright pixels; a HEIC container's own turns count, as its decoder applies them
 * @throws AppError unsupported-picture
 */
export async function decodeWhole(name: string, picture: Picture, bytes: Uint8Array): Promise<{ width: number; height: number }> {
  try {
    if (picture.mime === 'image/heic') return await decodeHeic(bytes)
    await sharp(bytes, { failOn: 'error', limitInputPixels: largestPixels }).stats()
    return picture
  } catch (error) {
    throw unsupported(name, `is damaged or cut off (${firstLine(error)})`, 'copy it from the camera again')
  }
}

function typeByContent(bytes: Uint8Array): Mime | null {
  const ascii = (from: number, to: number) => String.fromCharCode(...bytes.subarray(from, to))
  if (bytes[0] === 0xff && bytes[1] === 0xd8 && bytes[2] === 0xff) return 'image/jpeg'
  if (ascii(0, 8) === '\x89PNG\r\n\x1a\n') return 'image/png'
  if (ascii(0, 4) === 'RIFF' && ascii(8, 12) === 'WEBP') return 'image/webp'
  if (ascii(0, 4) === 'II*\0' || ascii(0, 4) === 'MM\0*') return 'image/tiff'
  if (ascii(4, 8) === 'ftyp' && heicBrands(bytes).some((brand) => ['heic', 'heix', 'heim', 'heis'].includes(brand))) return 'image/heic'
  return null
}

/** Major and compatible brands of an ISO base media file's first box. */
function heicBrands(bytes: Uint8Array): string[] {
  const size = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(0)
  const box = bytes.subarray(8, Math.min(size, bytes.byteLength, 256))
  const brands: string[] = []
  for (let at = 0; at + 4 <= box.length; at += 4) if (at !== 4) brands.push(String.fromCharCode(...box.subarray(at, at + 4)))
  return brands
}

function refuseMisnamed(name: string, mime: Mime): void {
  const extension = /\.([A-Za-z0-9]+)$/.exec(name)?.[1]?.toLowerCase()
  if (!extension || kinds[mime].extensions.includes(extension)) return
  const claimed = Object.values(kinds).find((kind) => kind.extensions.includes(extension))
  if (!claimed) return
  const rightName = name.replace(/\.[A-Za-z0-9]+$/, `.${kinds[mime].extensions[0]}`)
  throw unsupported(
    name,
    `is named like a ${claimed.word} picture but holds ${kinds[mime].word}`,
    `rename it to ${rightName} and choose it again`,
  )
}

async function headerOf(name: string, mime: Mime, bytes: Uint8Array): Promise<Metadata & { width: number; height: number }> {
  try {
    const metadata = await sharp(bytes, { limitInputPixels: false }).metadata()
    if (!metadata.width || !metadata.height) throw new Error('no size')
    return metadata
  } catch (error) {
    throw unsupported(
      name,
      `is damaged: its ${kinds[mime].word} header cannot be read (${firstLine(error)})`,
      'copy it from the camera again',
    )
  }
}

/** A damaged or silent EXIF block is no reason to refuse a picture: the fit then solves the focal length. */
function lensOf(mime: Mime, metadata: Metadata, bytes: Uint8Array): Lens {
  const block = mime === 'image/tiff' ? Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength) : metadata.exif
  if (!block) return { focal35Mm: null, focalMm: null }
  try {
    const photo = exifReader(block).Photo
    return { focal35Mm: positive(photo?.FocalLengthIn35mmFilm), focalMm: positive(photo?.FocalLength) }
  } catch {
    return { focal35Mm: null, focalMm: null }
  }
}

function positive(value: unknown): number | null {
  return typeof value === 'number' && Number.isFinite(value) && value > 0 ? value : null
}

function unsupported(name: string, fault: string, remedy: string): AppError {
  return new AppError('unsupported-picture', `${name}: ${fault}; ${remedy}.`)
}

function firstLine(error: unknown): string {
  return (error instanceof Error ? error.message : String(error)).split('\n')[0] as string
}
