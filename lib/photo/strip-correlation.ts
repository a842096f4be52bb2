/**
 * How far one photograph's strip must be turned (and slid a little) to lie on another's: masked normalised
 * cross-correlation over all turns at once, by Fourier transforms of the rows (D. Padfield, "Masked object
 * registration in the Fourier domain", IEEE Trans. Image Processing, 2012).
 */
import FFT from 'fft.js'
import type { TextureStrip } from './texture'

/** Row spectra of a strip: of its values, of their squares and of its mask. */
export type StripSpectra = { strip: TextureStrip; value: Float64Array[]; square: Float64Array[]; mask: Float64Array[] }

export type StripMatch = {
  /** Columns and rows by which the second strip is moved onto the first. */
  columns: number
  rows: number
  /** Correlation at the best place, and the best one elsewhere around the turn. */
  peak: number
  second: number
}

export type MatchSearch = {
  /** Rows by which the second strip may be slid, either way. */
  mostRows: number
  /** Columns that would put both cameras at one place, and how far from there a match must keep. */
  sameStandpoint: number
  leastTurn: number
}

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

/**
 * Two strips of the same size; null where they never overlap enough. Lamps, shadows and what the steel reflects stand
 * still while the shaft is turned: they match best where both cameras stand at one place, so that no match is taken
 * there, and one elsewhere has to beat it.
 */
export function matchStrips(
  first: StripSpectra,
  second: StripSpectra,
  { mostRows, sameStandpoint, leastTurn }: MatchSearch,
): StripMatch | null {
  const { width, height, pxPerMm } = first.strip
  const leastOverlap = leastOverlapShare * width * height
  const best = { columns: 0, rows: 0, peak: Number.NEGATIVE_INFINITY }
  const across = new Float64Array(width).fill(Number.NEGATIVE_INFINITY)
  for (let rows = -mostRows; rows <= mostRows; rows++) {
    const dots = correlate(first.value, second.value, rows, width)
    const firstPower = correlate(first.square, second.mask, rows, width)
    const secondPower = correlate(first.mask, second.square, rows, width)
    const overlap = correlate(first.mask, second.mask, rows, width)
    for (let column = 0; column < width; column++) {
      if (overlap[column] < leastOverlap) continue
      const c = dots[column] / Math.sqrt(firstPower[column] * secondPower[column] + 1e-9)
      across[column] = Math.max(across[column], c)
      if (c > best.peak && columnsApart(column, sameStandpoint, width) >= leastTurn) Object.assign(best, { columns: column, rows, peak: c })
    }
  }
  if (!Number.isFinite(best.peak)) return null
  const apart = Math.round(apartMm * pxPerMm)
  let elsewhere = 0
  for (let column = 0; column < width; column++) {
    if (columnsApart(column, best.columns, width) > apart) elsewhere = Math.max(elsewhere, across[column])
  }
  return { ...best, second: elsewhere }
}

function columnsApart(one: number, other: number, width: number): number {
  const d = one - other
  return Math.abs(d - width * Math.round(d / width))
}

/** Share of the whole map that two strips must have in common. */
const leastOverlapShare = 0.04
/** A second peak nearer than this is a shoulder of the first. */
const apartMm = 2

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
