/**
 * Pixels to roll out: a photograph after EXIF orientation, or a smaller preview of it, and its halvings. Each halving is the mean of 2 x 2
 * pixels, so that a map coarser than the photograph averages instead of skipping.
 */
import type { Camera } from '../photo/camera'

export type Picture = {
  width: number
  height: number
  /** 3: RGB; 4: RGBA, of which the alpha is not read. */
  channels: 3 | 4
  /** Row-major, 8 bits a channel. */
  data: Uint8Array | Uint8ClampedArray
}

/** @throws where the bytes do not make up the size */
export function checkPicture(picture: Picture): Picture {
  if (picture.data.length === picture.width * picture.height * picture.channels) return picture
  throw new Error(`picture of ${picture.width} x ${picture.height} x ${picture.channels} holds ${picture.data.length} bytes`)
}

/** How often a picture can be halved until its shorter side is about 64 px. */
export function halvingsOf({ width, height }: { width: number; height: number }): number {
  return Math.max(0, Math.floor(Math.log2(Math.min(width, height) / 64)))
}

export function halved(picture: Picture): Picture {
  const { channels, data } = picture
  const width = picture.width >> 1
  const height = picture.height >> 1
  const out = new Uint8Array(width * height * channels)
  const stride = picture.width * channels
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0, from = 2 * y * stride; x < width; x++, from += 2 * channels) {
      for (let c = 0; c < channels; c++) {
        const i = from + c
        out[at++] = (data[i] + data[i + channels] + data[i + stride] + data[i + stride + channels] + 2) >> 2
      }
    }
  }
  return { width, height, channels, data: out }
}

/** How often a picture is halved for its pixels to be about 2 mm on a journal seen by this camera. */
export function coarseHalvings(picture: { width: number; height: number }, camera: Camera): number {
  const pxPerMm = (camera.focalPx * picture.width) / (camera.width * Math.max(1, camera.translation[2]))
  return Math.min(halvingsOf(picture), Math.max(0, Math.round(Math.log2(2 * pxPerMm))))
}

/** The picture so many times halved in one go, RGB: what glare is looked for in, and exposure compared. */
export function coarsePicture(picture: Picture, halvings: number): Picture {
  const side = 1 << halvings
  const { channels, data } = checkPicture(picture)
  const width = picture.width >> halvings
  const height = picture.height >> halvings
  const out = new Uint8Array(width * height * 3)
  const sums = new Uint32Array(width * 3)
  const stride = picture.width * channels
  for (let y = 0; y < height; y++) {
    sums.fill(0)
    for (let row = y * side; row < (y + 1) * side; row++) {
      for (let x = 0, p = row * stride; x < width; x++) {
        let [red, green, blue] = [0, 0, 0]
        for (let k = 0; k < side; k++, p += channels) {
          red += data[p]
          green += data[p + 1]
          blue += data[p + 2]
        }
        sums[3 * x] += red
        sums[3 * x + 1] += green
        sums[3 * x + 2] += blue
      }
    }
    for (let i = 0; i < sums.length; i++) out[y * width * 3 + i] = (sums[i] + (side * side) / 2) >> (2 * halvings)
  }
  return { width, height, channels: 3, data: out }
}
