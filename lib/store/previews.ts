/** Upright pictures made from an original by sharp, kept once made. */
import sharp, { type Sharp } from 'sharp'
import { AppError } from '../model/app-error'
import { decodeHeic } from './heic'
import type { PhotoStorage } from './photo-storage'
import { largestPixels, type Mime } from './picture-reader'

// what libvips would keep of pictures read once costs tens of megabytes
sharp.cache(false)

/** Widths in px that a page may ask for; `full` keeps the original's own. */
export const previewWidths = ['320', '800', '1600', '2400', 'full'] as const
export type PreviewWidth = (typeof previewWidths)[number]

/** WebP of that width, JPEG for `full`. @throws AppError not-found when the original is gone from the photo store */
export async function preview(storage: PhotoStorage, file: { sha256: string; mime: Mime }, width: PreviewWidth): Promise<Uint8Array> {
  const variant = width === 'full' ? 'full.jpg' : `${width}.webp`
  const kept = await storage.readDerived(file.sha256, variant)
  if (kept) return kept
  const upright = await uprightPicture(storage, file)
  const bytes =
    width === 'full'
      ? await upright.jpeg({ quality: 92 }).toBuffer()
      : await upright
          .resize({ width: Number(width), withoutEnlargement: true })
          .webp({ quality: 82, effort: 2 })
          .toBuffer()
  await storage.putDerived(file.sha256, variant, bytes)
  return bytes
}

/** Upright sRGB pixels of an original: `data` holds width * height * 3 bytes. */
export async function uprightPixels(storage: PhotoStorage, file: { sha256: string; mime: Mime }) {
  return pixelsOf(await uprightPicture(storage, file))
}

/** The same from a picture's own bytes, for files that lie in no store. Rejects where they are damaged. */
export async function uprightPixelsOf(bytes: Uint8Array, mime: Mime) {
  return pixelsOf(await upright(bytes, mime))
}

async function pixelsOf(picture: Sharp) {
  const { data, info } = await picture.removeAlpha().toColourspace('srgb').raw().toBuffer({ resolveWithObject: true })
  return { data, width: info.width, height: info.height, channels: 3 as const }
}

async function uprightPicture(storage: PhotoStorage, file: { sha256: string; mime: Mime }): Promise<Sharp> {
  if (!(await storage.hasOriginal(file.sha256))) {
    throw new AppError('not-found', `The photo store no longer holds the original ${file.sha256}; put its file back from a backup.`)
  }
  return upright(await storage.readOriginal(file.sha256), file.mime)
}

async function upright(bytes: Uint8Array, mime: Mime): Promise<Sharp> {
  if (mime !== 'image/heic') return sharp(bytes, { limitInputPixels: largestPixels }).autoOrient().flatten({ background: '#fff' })
  const { data, width, height } = await decodeHeic(bytes)
  return sharp(data, { raw: { width, height, channels: 4 } }).flatten({ background: '#fff' })
}
