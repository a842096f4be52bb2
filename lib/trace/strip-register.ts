/**
 * Small shifts that bring the strips of photographs onto each other: photographs laid beside each other agree to a few hundredths of a mm, some only to a
 * tenth, which is more than a crack is wide. Each pair is compared over what both see (normalised correlation of the fine relief, its top to a part of
 * a place), and all shifts follow in one least-squares solve in which every pair counts by how sharp its top is, and each photograph by how surely its
 * own fit puts it where it is.
 */
import { inverseOfPositiveDefinite } from '../photo/symmetric-matrix'
import { type LineGrid, linePlacesPerMm } from './line-grid'
import type { LineStrip } from './line-strip'

export type StripShift = { around: number; along: number }

/** How far photographs are looked for beside where their fits put them, places; and how surely a pair tells its shift at best, mm. */
const reach = { around: 5, along: 4 }
const pairSigmaMm = 0.006
/** No fit is surer of its place than this, mm. */
const leastSigmaMm = 0.03
/** Darker or brighter than this counts as this: specks and glare would outweigh the rest. */
const most = 0.15
/** A pair of photographs is compared at so many places at most, and not at all below the lesser number. */
const mostPlaces = 30_000
const leastPlaces = 4_000
/** A top lower than this is chance. */
const leastCorrelation = 0.12

/** The strips moved by whole places, so that what they show in common lies together. */
export function registered(grid: LineGrid, strips: readonly LineStrip[]): LineStrip[] {
  const shifts = stripShifts(grid, strips)
  return strips.map((strip, i) => moved(strip, Math.round(shifts[i].around), Math.round(shifts[i].along)))
}

/** How far each strip is to be moved, in places. */
export function stripShifts(grid: LineGrid, strips: readonly LineStrip[]): StripShift[] {
  const n = strips.length
  const ownWeights = (axis: 'around' | 'along') => {
    const normal = new Float64Array(n * n)
    for (const [i, strip] of strips.entries()) normal[i * n + i] = weightOf(Math.max(leastSigmaMm, strip.sigmaMm[axis]))
    return normal
  }
  const [normalX, normalY] = [ownWeights('around'), ownWeights('along')]
  const [rightX, rightY] = [new Array<number>(n).fill(0), new Array<number>(n).fill(0)]
  for (let i = 0; i < n; i++) {
    for (let j = i + 1; j < n; j++) {
      const found = pairShift(grid, strips[i], strips[j])
      if (!found) continue
      for (const [normal, right, by, weight] of [
        [normalX, rightX, found.around, found.weightAround],
        [normalY, rightY, found.along, found.weightAlong],
      ] as const) {
        normal[i * n + i] += weight
        normal[j * n + j] += weight
        normal[i * n + j] -= weight
        normal[j * n + i] -= weight
        // the second strip lies so much further on than the first
        right[i] += weight * by
        right[j] -= weight * by
      }
    }
  }
  const [around, along] = [solved(normalX, rightX), solved(normalY, rightY)]
  return strips.map((_, i) => ({ around: around[i], along: along[i] }))
}

type PairShift = { around: number; along: number; weightAround: number; weightAlong: number }

/** By how much the second strip lies further on than the first; null where they share too little. */
function pairShift(grid: LineGrid, a: LineStrip, b: LineStrip): PairShift | null {
  const { around, along } = reach
  const turn = grid.columns
  const apart = b.first + b.columns / 2 - a.first - a.columns / 2
  // columns of a that fall on column 0 of b, on the turn on which they overlap most
  const offset = b.first - a.first - turn * Math.round(apart / turn)
  const places: number[] = []
  const from = Math.max(0, offset + around)
  const to = Math.min(a.columns, offset + b.columns - around)
  if (to <= from) return null
  const stride = Math.max(1, Math.ceil(Math.sqrt(((to - from) * grid.rows) / (2 * mostPlaces))))
  for (let row = along; row < grid.rows - along; row += stride)
    for (let x = from; x < to; x += stride) if (a.seen[row * a.columns + x] && b.seen[row * b.columns + x - offset]) places.push(row, x)
  const count = places.length / 2
  if (count < leastPlaces) return null
  const wide = 2 * around + 1
  const scores = new Float64Array(wide * (2 * along + 1))
  for (let dy = -along; dy <= along; dy++) {
    for (let dx = -around; dx <= around; dx++) {
      let [ab, aa, bb] = [0, 0, 0]
      for (let k = 0; k < places.length; k += 2) {
        const at = (places[k] + dy) * b.columns + places[k + 1] - offset + dx
        if (!b.seen[at]) continue
        const p = clipped(a.lines[places[k] * a.columns + places[k + 1]])
        const q = clipped(b.lines[at])
        ab += p * q
        aa += p * p
        bb += q * q
      }
      scores[(dy + along) * wide + dx + around] = ab / Math.sqrt(aa * bb + 1e-9)
    }
  }
  let best = 0
  for (let k = 1; k < scores.length; k++) if (scores[k] > scores[best]) best = k
  const [bx, by] = [best % wide, Math.floor(best / wide)]
  const top = scores[best]
  if (top < leastCorrelation || bx === 0 || by === 0 || bx === wide - 1 || by === 2 * along) return null
  const [left, right] = [scores[best - 1], scores[best + 1]]
  const [below, above] = [scores[best - wide], scores[best + wide]]
  // the smoothing of a picture makes a handful of places one
  const independent = (count * Math.min(1, stride * stride)) / 4
  const weight = (bend: number) => (independent * bend * top) / (1 - top * top)
  const [bendX, bendY] = [2 * top - left - right, 2 * top - below - above]
  return {
    around: bx - around + (right - left) / (2 * bendX),
    along: by - along + (above - below) / (2 * bendY),
    weightAround: Math.min(weightOf(pairSigmaMm), weight(bendX)),
    weightAlong: Math.min(weightOf(pairSigmaMm), weight(bendY)),
  }
}

/** Of a shift in places. */
function weightOf(sigmaMm: number): number {
  return 1 / (sigmaMm * linePlacesPerMm) ** 2
}

function clipped(value: number): number {
  return Math.max(-most, Math.min(most, value))
}

function moved(strip: LineStrip, around: number, along: number): LineStrip {
  if (along === 0) return around === 0 ? strip : { ...strip, first: strip.first + around }
  const { columns, rows } = strip
  const lines = new Float32Array(strip.lines.length)
  const plain = new Float32Array(strip.lines.length)
  const seen = new Uint8Array(strip.seen.length)
  const from = Math.max(0, -along) * columns
  const to = Math.max(0, along) * columns
  const length = (rows - Math.abs(along)) * columns
  lines.set(strip.lines.subarray(from, from + length), to)
  plain.set(strip.plain.subarray(from, from + length), to)
  seen.set(strip.seen.subarray(from, from + length), to)
  return { ...strip, first: strip.first + around, lines, plain, seen }
}

/** Each strip's own fit makes the matrix positive definite. */
function solved(matrix: Float64Array, right: readonly number[]): number[] {
  const inverse = inverseOfPositiveDefinite(matrix, right.length)
  if (!inverse) throw new Error('shifts of strips: the normal matrix is not positive definite')
  return right.map((_, i) => right.reduce((sum, value, j) => sum + inverse[i * right.length + j] * value, 0))
}
