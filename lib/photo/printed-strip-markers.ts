/**
 * Codes of a printed strip in a photograph, whatever their size in it: js-aruco2 looks at the picture at several sizes (its
 * threshold window is a few pixels wide, so that a code is only found where it is some tens of pixels large), at most two wrong
 * bits are accepted, and of one code seen at several sizes the sharpest sighting is kept.
 */
import aruco from 'js-aruco2'
import type { PhotoPoint } from './camera'
import { stripDictionary } from './printed-strip-cells'

/** 8 bits a pixel, row by row, after EXIF orientation. */
export type GreyBytes = { width: number; height: number; data: Uint8Array }

/** Corners: the code's top left, then clockwise; px from the corner of the top left pixel. */
export type StripMarker = { id: number; corners: [PhotoPoint, PhotoPoint, PhotoPoint, PhotoPoint] }

/** Long sides at which the picture is looked at, px. */
const sizes = [400, 570, 800, 1130, 1600]
/** So many codes are enough: the others are measured where these say. */
const enoughCodes = 6
/** One more size, where the others show fewer than this many codes. */
const largeSize = { longSide: 2400, under: 3 }
/** js-aruco2 accepts fewer than this many wrong bits: two of the 36. */
const wrongBitsUnder = 3

/** Corners are roughly right; `cornerPx`: how far off they may be, as the smallest picture looked at was. */
export function findMarkers(picture: GreyBytes): { markers: StripMarker[]; cornerPx: number } {
  const found = new Map<number, { wrongBits: number; longSide: number; marker: StripMarker }[]>()
  const detector = new aruco.AR.Detector({ dictionaryName: stripDictionary, maxHammingDistance: wrongBitsUnder })
  const levels = [picture]
  const levelFor = (longSide: number): GreyBytes => {
    for (;;) {
      const last = levels[levels.length - 1]
      if (Math.max(last.width, last.height) < 2 * longSide + 2)
        return levels.find((one) => Math.max(one.width, one.height) < 2 * longSide + 2) ?? last
      levels.push(halved(last))
    }
  }
  const look = (longSide: number) => {
    const small = shrunk(levelFor(longSide), longSide)
    for (const { id, corners, hammingDistance } of detector.detectImage(small.width, small.height, rgba(small))) {
      const scaleX = picture.width / small.width
      const scaleY = picture.height / small.height
      const [a, b, c, d] = corners.map(({ x, y }) => ({ u: (x + 0.5) * scaleX, v: (y + 0.5) * scaleY }))
      const sighting = { wrongBits: hammingDistance, longSide, marker: { id, corners: [a, b, c, d] as StripMarker['corners'] } }
      found.set(id, [...(found.get(id) ?? []), sighting])
    }
  }
  const longest = Math.max(picture.width, picture.height)
  for (const size of sizes) if (found.size < enoughCodes && (size <= longest || size === sizes[0])) look(Math.min(size, longest))
  if (found.size < largeSize.under && longest >= largeSize.longSide) look(largeSize.longSide)
  const best = [...found.values()].map((sightings) => sightings.sort((a, b) => a.wrongBits - b.wrongBits || b.longSide - a.longSide)[0])
  const smallest = Math.min(longest, ...best.map(({ longSide }) => longSide))
  return { markers: best.map(({ marker }) => marker), cornerPx: (roughPx * longest) / smallest }
}

/** Deviation of a corner in the picture that js-aruco2 looked at, px. */
const roughPx = 0.8

function halved({ width, height, data }: GreyBytes): GreyBytes {
  const half = { width: width >> 1, height: height >> 1 }
  const out = new Uint8Array(half.width * half.height)
  for (let y = 0, at = 0; y < half.height; y++)
    for (let x = 0, from = 2 * y * width; x < half.width; x++, from += 2)
      out[at++] = (data[from] + data[from + 1] + data[from + width] + data[from + width + 1] + 2) >> 2
  return { ...half, data: out }
}

/** The picture with its long side brought to a size: means over the pixels that fall on one. */
function shrunk(picture: GreyBytes, longSide: number): GreyBytes {
  const ratio = longSide / Math.max(picture.width, picture.height)
  const width = Math.max(1, Math.round(picture.width * ratio))
  const height = Math.max(1, Math.round(picture.height * ratio))
  if (width === picture.width && height === picture.height) return picture
  const data = new Uint8Array(width * height)
  const columns = Int32Array.from({ length: width + 1 }, (_, x) => Math.round((x * picture.width) / width))
  for (let y = 0; y < height; y++) {
    const top = Math.round((y * picture.height) / height)
    const bottom = Math.round(((y + 1) * picture.height) / height)
    for (let x = 0; x < width; x++) {
      const left = columns[x]
      const right = columns[x + 1]
      let sum = 0
      for (let row = top; row < bottom; row++) {
        const line = row * picture.width
        for (let column = left; column < right; column++) sum += picture.data[line + column]
      }
      data[y * width + x] = sum / ((bottom - top) * (right - left))
    }
  }
  return { width, height, data }
}

function rgba({ data }: GreyBytes): Uint8ClampedArray {
  const out = new Uint8ClampedArray(4 * data.length)
  for (let i = 0, at = 0; i < data.length; i++, at += 4) {
    out[at] = data[i]
    out[at + 1] = data[i]
    out[at + 2] = data[i]
    out[at + 3] = 255
  }
  return out
}
