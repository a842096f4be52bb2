/**
 * Where fluorescent particles glow in a photograph under ultraviolet, on a grid of the map, cylinder and fillets, as far around as it is seen: what
 * neighbours that stand far apart have in common (in white light highlights are, which move). All strips of a journal lie on one grid, so that windows
 * of two of them can be compared at whole columns and rows.
 */
import type { Surface } from '../journal/surface'

export type GlowStrip = {
  /** Of a whole turn. */
  columns: number
  /** The strip's column i is the turn's column `first + i`, which may lie beyond either end of a turn. Rows from the front. */
  first: number
  width: number
  height: number
  /** Between columns (at the journal's radius) and rows, mm. */
  step: { around: number; along: number }
  /** Row-major, green less blue, grey levels; NaN where nothing is seen. */
  grey: Float32Array
  /** Cosine between view and normal, 0 where nothing is seen. */
  cosine: Float32Array
}

/** In which turns are looked for, and on which photographs are drawn together. */
export const searchColumns = 1024
export const fineColumns = 2048

/** A part of the first strip: its columns [x0, x1) and rows [y0, y1). */
export type StripWindow = { x0: number; x1: number; y0: number; y1: number }

/** Degrees around. */
const windowDeg = 6
/** Height of the bands that the cylinder is cut into, about, as a share of its radius. */
const bandShare = 0.1
const leastRows = 4

/** Windows of each fillet as a whole and of bands of the cylinder; the next one begins a share of a window later. */
export function stripWindows(surface: Surface, { columns, width, height, step }: GlowStrip, nextShare: number): StripWindow[] {
  const row = (s: number) => Math.round(s / step.along)
  const { frontTangentS: from, rearTangentS: to, radius } = surface
  const count = Math.max(1, Math.round((to - from) / (radius * bandShare)))
  const edges = Array.from({ length: count + 1 }, (_, k) => row(from + ((to - from) * k) / count))
  const bands = [0, ...edges, height].map((y0, k, all): [number, number] => [y0, all[k + 1] ?? y0])
  const size = Math.round((windowDeg / 360) * columns)
  const next = Math.round(size * nextShare)
  return bands
    .filter(([y0, y1]) => y1 - y0 >= leastRows)
    .flatMap(([y0, y1]) =>
      Array.from({ length: Math.max(0, Math.ceil((width - size) / next)) }, (_, k) => ({ x0: k * next, x1: k * next + size, y0, y1 })),
    )
}

/** Grey levels below which a difference tells nothing, one standard deviation. */
export const floorGrey = 0.7

/**
 * Correlation of a window with what the second shows so many columns and rows of its own arrays further on, whatever factor and offset lie between
 * their brightness. -1 where both see less than `leastSeen` of it.
 */
export function windowCorrelation(
  first: GlowStrip,
  second: GlowStrip,
  { x0, x1, y0, y1 }: StripWindow,
  dx: number,
  dy: number,
  leastSeen: number,
): number {
  const [a, b] = [first.grey, second.grey]
  let [n, sa, sb, ab, aa, bb] = [0, 0, 0, 0, 0, 0]
  const from = Math.max(x0, -dx)
  const to = Math.min(x1, second.width - dx)
  const last = Math.min(y1, second.height - dy)
  for (let y = Math.max(y0, -dy); y < last; y++) {
    const rowA = y * first.width
    const rowB = (y + dy) * second.width + dx
    for (let x = from; x < to; x++) {
      const p = a[rowA + x]
      const q = b[rowB + x]
      if (Number.isNaN(p) || Number.isNaN(q)) continue
      n++
      sa += p
      sb += q
      ab += p * q
      aa += p * p
      bb += q * q
    }
  }
  if (n === 0 || n < leastSeen * (x1 - x0) * (y1 - y0)) return -1
  const va = aa / n - (sa / n) ** 2 + floorGrey ** 2
  const vb = bb / n - (sb / n) ** 2 + floorGrey ** 2
  return (ab / n - (sa / n) * (sb / n)) / Math.sqrt(va * vb)
}

/** Gaussian over so many columns and rows, one standard deviation, of what is seen. */
export function smoothedStrip(strip: GlowStrip, sigma: number): GlowStrip {
  const { width, height, grey } = strip
  const reach = Math.ceil(2.5 * sigma)
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / sigma) ** 2))
  const pass = (from: Float32Array, along: number, count: number, across: number, lines: number) => {
    const out = new Float32Array(from.length).fill(Number.NaN)
    for (let line = 0; line < lines; line++) {
      for (let i = 0; i < count; i++) {
        const at = line * across + i * along
        if (Number.isNaN(from[at])) continue
        let [sum, weight] = [0, 0]
        for (let k = Math.max(-reach, -i); k <= Math.min(reach, count - 1 - i); k++) {
          const value = from[at + k * along]
          if (Number.isNaN(value)) continue
          sum += kernel[k + reach] * value
          weight += kernel[k + reach]
        }
        out[at] = sum / weight
      }
    }
    return out
  }
  return { ...strip, grey: pass(pass(grey, 1, width, width, height), width, height, 1, width) }
}

/** The place of a column in the strip's own arrays that lies nearest to its middle, whole turns aside. */
export function placeOfColumn({ columns, first, width }: GlowStrip, column: number): number {
  const off = column - first
  return off - columns * Math.round((off - width / 2) / columns)
}
