/**
 * How well one photograph's strip lies on another's for every turn about the shaft, slid a little along it where that is better: masked
 * normalised cross-correlation over all turns at once, by Fourier transforms of the rows (D. Padfield, "Masked object
 * registration in the Fourier domain", IEEE Trans. Image Processing, 2012).
 */
import FFT from 'fft.js'
import type { TextureStrip } from './texture'

/** Row spectra of a strip: of its values, of their squares and of its mask. */
export type StripSpectra = { strip: TextureStrip; value: Float64Array[]; square: Float64Array[]; mask: Float64Array[] }

/** By the columns by which the second strip is moved onto the first. */
export type TurnCorrelation = {
  /** At the best slide; NaN where the strips have too little in common. */
  correlation: Float64Array
  /** Rows by which the second strip is then moved onto the first. */
  rows: Int16Array
  /** Places compared, and places of the whole map. */
  overlap: Float64Array
  whole: number
}

/** Share of the whole map that two strips must have in common. */
const leastOverlapShare = 0.03

/** Width must be a power of two. */
export function spectraOf(strip: TextureStrip): StripSpectra {
  const { width, height, value, mask } = strip
  const fft = new FFT(width)
  const rows = (of: (i: number) => number): Float64Array[] =>
    Array.from({ length: height }, (_, row) => {
      const spectrum = new Float64Array(2 * width)
      fft.realTransform(
        spectrum,
        Float64Array.from({ length: width }, (_, column) => of(row * width + column)),
      )
      fft.completeSpectrum(spectrum)
      return spectrum
    })
  return { strip, value: rows((i) => value[i]), square: rows((i) => value[i] * value[i]), mask: rows((i) => mask[i]) }
}

/** Two strips of the same size, the second slid by up to `mostRows` either way. */
export function correlateTurns(first: StripSpectra, second: StripSpectra, mostRows: number): TurnCorrelation {
  const { width, height } = first.strip
  const leastOverlap = leastOverlapShare * width * height
  const best: TurnCorrelation = {
    correlation: new Float64Array(width).fill(Number.NaN),
    rows: new Int16Array(width),
    overlap: new Float64Array(width),
    whole: width * height,
  }
  for (let rows = -mostRows; rows <= mostRows; rows++) {
    const dots = correlate(first.value, second.value, rows, width)
    const firstPower = correlate(first.square, second.mask, rows, width)
    const secondPower = correlate(first.mask, second.square, rows, width)
    const overlap = correlate(first.mask, second.mask, rows, width)
    for (let column = 0; column < width; column++) {
      if (overlap[column] < leastOverlap) continue
      const c = dots[column] / Math.sqrt(firstPower[column] * secondPower[column] + 1e-9)
      if (c <= best.correlation[column]) continue
      best.correlation[column] = c
      best.rows[column] = rows
      best.overlap[column] = overlap[column]
    }
  }
  return best
}

/** Sum over rows of a(row + rows, x + column) b(row, x) for every column. */
function correlate(a: readonly Float64Array[], b: readonly Float64Array[], rows: number, width: number): Float64Array {
  const product = new Float64Array(2 * width)
  for (let row = Math.max(0, -rows); row < Math.min(b.length, a.length - rows); row++) {
    const p = a[row + rows]
    const q = b[row]
    for (let k = 0; k < 2 * width; k += 2) {
      product[k] += p[k] * q[k] + p[k + 1] * q[k + 1]
      product[k + 1] += p[k + 1] * q[k] - p[k] * q[k + 1]
    }
  }
  const back = new Float64Array(2 * width)
  new FFT(width).inverseTransform(back, product)
  return Float64Array.from({ length: width }, (_, i) => back[2 * i])
}
