/**
 * Masked normalised cross-correlation of a small piece of texture with the whole map at every place at once (D. Padfield,
 * "Masked object registration in the Fourier domain", IEEE Trans. Image Processing, 2012). The map closes around the turn and
 * ends at the cheeks.
 */
import FFT from 'fft.js'
import type { TextureStrip } from './texture'

/** A whole map made ready for comparing: spectra of its values, their squares and its mask. */
export type MapSpectra = {
  strip: TextureStrip
  /** Rows of the spectra: a power of two, at least the map's. */
  rows: number
  value: Float64Array
  square: Float64Array
  mask: Float64Array
}

/** The strip's width must be a power of two. */
export function mapSpectra(strip: TextureStrip): MapSpectra {
  const { width, height, value, mask } = strip
  const rows = 2 ** Math.ceil(Math.log2(1.25 * height))
  const spectrum = (of: (i: number) => number): Float64Array => {
    const plane = new Float64Array(2 * width * rows)
    for (let i = 0; i < width * height; i++) plane[2 * i] = of(i)
    return transformed(plane, width, rows, height, false)
  }
  return { strip, rows, value: spectrum((i) => value[i]), square: spectrum((i) => value[i] ** 2), mask: spectrum((i) => mask[i]) }
}

/** A piece of texture whose own map has the same px per mm; `middleColumn`, `middleRow`: the place in it that is laid on the map. */
export type Piece = { texture: TextureStrip; middleColumn: number; middleRow: number }

/** By the place (column, row) of the map on which the piece's middle is laid, row-major in the map's size. */
export type Correlations = {
  /** -1 where less than `leastShare` of the piece lies on what the map shows. */
  correlation: Float32Array
  /** Places of the piece that are compared. */
  compared: Float32Array
}

export function correlationOverMap(map: MapSpectra, piece: Piece, leastShare: number): Correlations {
  const { width, height } = map.strip
  const { rows } = map
  const { texture, middleColumn, middleRow } = piece
  const plane = new Float64Array(2 * width * rows)
  let seen = 0
  let energy = 0
  for (let y = 0; y < texture.height; y++) {
    const row = (y - middleRow + 2 * rows) % rows
    for (let x = 0; x < texture.width; x++) {
      const i = y * texture.width + x
      if (!texture.mask[i]) continue
      const at = 2 * (row * width + ((x - middleColumn + 4 * width) % width))
      plane[at] = texture.value[i]
      plane[at + 1] = 1
      seen++
      energy += texture.value[i] ** 2
    }
  }
  const correlation = new Float32Array(width * height).fill(-1)
  const compared = new Float32Array(width * height)
  if (seen === 0) return { correlation, compared }
  const spectrum = transformed(plane, width, rows, rows, false)
  // value and mask went in as real and imaginary part: they come apart by the symmetry of a real signal's spectrum
  const dots = new Float64Array(2 * width * rows)
  const overlap = new Float64Array(2 * width * rows)
  for (let ky = 0; ky < rows; ky++) {
    const my = (rows - ky) % rows
    for (let kx = 0; kx < width; kx++) {
      const k = 2 * (ky * width + kx)
      const m = 2 * (my * width + ((width - kx) % width))
      // conjugates of the spectra of value and mask
      const vr = (spectrum[k] + spectrum[m]) / 2
      const vi = -(spectrum[k + 1] - spectrum[m + 1]) / 2
      const mr = (spectrum[k + 1] + spectrum[m + 1]) / 2
      const mi = (spectrum[k] - spectrum[m]) / 2
      // map values by piece values, and i times map squares by piece mask, in one plane
      const dr = map.value[k] * vr - map.value[k + 1] * vi
      const di = map.value[k] * vi + map.value[k + 1] * vr
      const sr = map.square[k] * mr - map.square[k + 1] * mi
      const si = map.square[k] * mi + map.square[k + 1] * mr
      dots[k] = dr - si
      dots[k + 1] = di + sr
      overlap[k] = map.mask[k] * mr - map.mask[k + 1] * mi
      overlap[k + 1] = map.mask[k] * mi + map.mask[k + 1] * mr
    }
  }
  const products = transformed(dots, width, rows, rows, true)
  const counts = transformed(overlap, width, rows, rows, true)
  for (let i = 0; i < width * height; i++) {
    const share = counts[2 * i] / seen
    compared[i] = counts[2 * i]
    if (share < leastShare) continue
    correlation[i] = products[2 * i] / Math.sqrt(Math.max(1e-9, products[2 * i + 1] * energy * share))
  }
  return { correlation, compared }
}

/** Two-dimensional transform in place of a complex plane, of which only the first `filled` rows hold anything. */
function transformed(plane: Float64Array, width: number, rows: number, filled: number, inverse: boolean): Float64Array {
  const along = new FFT(width)
  const line = new Float64Array(2 * width)
  for (let y = 0; y < filled; y++) {
    const row = plane.subarray(2 * y * width, 2 * (y + 1) * width)
    line.set(row)
    if (inverse) along.inverseTransform(row, line)
    else along.transform(row, line)
  }
  const across = new FFT(rows)
  const from = new Float64Array(2 * rows)
  const to = new Float64Array(2 * rows)
  for (let x = 0; x < width; x++) {
    for (let y = 0, at = 2 * x; y < rows; y++, at += 2 * width) {
      from[2 * y] = plane[at]
      from[2 * y + 1] = plane[at + 1]
    }
    if (inverse) across.inverseTransform(to, from)
    else across.transform(to, from)
    for (let y = 0, at = 2 * x; y < rows; y++, at += 2 * width) {
      plane[at] = to[2 * y]
      plane[at + 1] = to[2 * y + 1]
    }
  }
  return plane
}
