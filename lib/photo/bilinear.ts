/** What a picture of whole pixels shows between them. */
import type { PixelPicture } from './propose-planes'

/**
 * Bilinear, of whatever `of` makes of the pixel that begins at a place of the data; NaN outside the picture.
 * @param x, y px from the middle of the first pixel
 */
export function bilinearAt({ width, height, channels }: PixelPicture, x: number, y: number, of: (at: number) => number): number {
  const i = Math.floor(x)
  const j = Math.floor(y)
  if (!(i >= 0 && j >= 0 && i + 1 < width && j + 1 < height)) return Number.NaN
  const a = x - i
  const b = y - j
  const k = (j * width + i) * channels
  const n = k + width * channels
  return (1 - b) * ((1 - a) * of(k) + a * of(k + channels)) + b * ((1 - a) * of(n) + a * of(n + channels))
}
