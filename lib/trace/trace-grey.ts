/** The plane in which traced lines are looked for: brightness whose sensor noise is about even, what glows turned dark, slightly smoothed. */
import type { TraceMap } from './trace-field'

/** Stands for what no photograph shows: far below everything, so that nothing beside it stands out. */
export const unknownGrey = -1000

/** Logarithm of brightness would do; a square root is near to it and tames sensor noise (Anscombe 1948). */
export function greyRoot({ rgba, width, height }: TraceMap, line: 'dark' | 'bright'): Float32Array {
  const root = Float32Array.from({ length: 512 }, (_, k) => Math.sqrt(k + 2))
  const out = new Float32Array(width * height)
  if (line === 'dark') {
    for (let i = 0, p = 0; i < out.length; i++, p += 4)
      out[i] = rgba[p + 3] === 0 ? unknownGrey : root[(77 * rgba[p] + 153 * rgba[p + 1] + 26 * rgba[p + 2]) >> 8]
    return out
  }
  // under ultraviolet particles are green and lint is blue
  for (let i = 0, p = 0; i < out.length; i++, p += 4) {
    const glow = rgba[p + 1] - 0.6 * rgba[p + 2] + 154
    out[i] = rgba[p + 3] === 0 ? unknownGrey : -root[glow > 0 ? glow | 0 : 0]
  }
  return out
}

/** A quarter, a half, a quarter along both sides; columns wrap. */
export function smoothedPlane(from: Float32Array, width: number, height: number): Float32Array {
  const rows = new Float32Array(from.length)
  for (let y = 0; y < height; y++) {
    const row = y * width
    let left = from[row + width - 1]
    for (let x = 0; x < width - 1; x++) {
      const i = row + x
      rows[i] = 0.25 * left + 0.5 * from[i] + 0.25 * from[i + 1]
      left = from[i]
    }
    rows[row + width - 1] = 0.25 * left + 0.5 * from[row + width - 1] + 0.25 * from[row]
  }
  const out = new Float32Array(from.length)
  for (let y = 0; y < height; y++) {
    const row = y * width
    const up = y > 0 ? row - width : row
    const low = y < height - 1 ? row + width : row
    for (let x = 0; x < width; x++) out[row + x] = 0.25 * rows[up + x] + 0.5 * rows[row + x] + 0.25 * rows[low + x]
  }
  return out
}
