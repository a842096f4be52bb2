/** Small pictures of every kind that is taken: a card with a red corner at its top left, 64 x 48 px. */
import { readFile } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import sharp, { type Sharp } from 'sharp'

const width = 64
const height = 48

/** `orientation` as EXIF counts it (CIPA DC-008, 1 to 8); the stored pixels stay as they are. */
export function card(orientation?: number): Sharp {
  const data = Buffer.alloc(width * height * 3, 60)
  for (let y = 0; y < 12; y += 1) for (let x = 0; x < 16; x += 1) data.set([250, 20, 20], 3 * (y * width + x))
  const plain = sharp(data, { raw: { width, height, channels: 3 } })
  const exif = { IFD0: { Make: 'card' }, IFD2: { FocalLengthIn35mmFilm: '26', FocalLength: '57/10' } }
  const tagged = plain.withExif(exif)
  return orientation ? tagged.withMetadata({ orientation }) : tagged
}

/** Made from such a card by Debian's heif-enc 1.15, which can write HEIC where sharp cannot. */
export function heicCard(): Promise<Buffer> {
  return readFile(fileURLToPath(new URL('../../fixtures/card.heic', import.meta.url)))
}
