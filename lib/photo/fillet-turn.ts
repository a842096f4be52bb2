/**
 * Two photographs that share no part of the cylinder may still share a part of the fillets, which lean towards the camera and are seen further
 * around. What hangs in them (dirt, fluorescent particles, tool marks) varies around the shaft: brightness less its mean over 12 degrees is
 * correlated for every turn. Few degrees are shared, so that a match must be clear: well correlated, over enough places, and well above the
 * next best; what stands still beside the shaft, and so agrees at one standpoint, does not count.
 */
import type { Surface } from '../journal/surface'
import type { TiePatch } from './tie-points'
import type { TurnEvidence } from './turn-evidence'
import { wrapped } from '../journal/wrapped-angle'

export const filletColumns = 1440

/** Rows at these meridian arcs, columns around a whole turn in the photograph's own frame; NaN where nothing is seen. */
export type FilletStrip = {
  rows: readonly number[]
  grey: Float32Array
  /** Cosine of the angle between view and normal: what is seen at grazing angles is placed worst. */
  facing: Float32Array
}
export type FilletView = { strip: FilletStrip; facing: number }
export type FilletMatch = { first: number; second: number; evidence: TurnEvidence }

/** The mean that is taken off, to either side: broad to find a match, narrow to place it. */
const broadColumns = 24
const narrowColumns = 8
/** The narrow peak lies within this of the broad one. */
const searchColumns = 6
const leastCorrelation = 0.42
const leastPlaces = 900
/** Correlation times the root of the places compared, and how far above the next best. */
const leastStrength = 17
const leastLead = 1.1
const leastTurnDeg = 20
const peakDeg = 3
/** What such a match counts beside what the strips say (logarithm of likelihoods): enough by itself, not where anything contradicts it. */
const clearMatch = 26
/** How well a match is placed, one standard deviation around and along, mm. */
const sigmaMm = { around: 0.3, along: 1 }

/** What the fillets of each pair of the given photographs say where they match clearly, at `width` columns of the turn; null entries have no fillet to compare. */
export function filletMatches(
  views: readonly (FilletView | null)[],
  width: number,
  wanted: (first: number, second: number) => boolean,
): FilletMatch[] {
  const broad = views.map((view) => view && withoutMean(view.strip, broadColumns))
  const matches: FilletMatch[] = []
  for (let first = 0; first < views.length; first++) {
    for (let second = first + 1; second < views.length; second++) {
      const [a, b] = [broad[first], broad[second]]
      const [from, to] = [views[first], views[second]]
      if (!a || !b || !from || !to || !wanted(first, second)) continue
      const shift = bestShift(a, b, from.strip, to.strip, from.facing - to.facing)
      if (shift === null) continue
      const evidence = new Float64Array(width)
      evidence[Math.round(((filletColumns - shift) / filletColumns) * width) % width] = clearMatch
      matches.push({ first, second, evidence })
    }
  }
  return matches
}

/** Ties of a pair whose turn is settled but for what its own fillets say more closely. */
export function filletTies(surface: Surface, first: FilletView, second: FilletView, settled: number): { turn: number; ties: TiePatch[] } {
  const [a, b] = [withoutMean(first.strip, narrowColumns), withoutMean(second.strip, narrowColumns)]
  const turn = placedTurn(a, b, first.strip, second.strip, Math.round((-settled / (2 * Math.PI)) * filletColumns))
  return { turn, ties: tiesOf(surface, first.strip, second.strip, turn) }
}

/** Grey less the mean of what is seen within so many columns on either side. */
function withoutMean({ rows, grey }: FilletStrip, reach: number): Float32Array {
  const out = new Float32Array(grey.length).fill(Number.NaN)
  for (let row = 0; row < rows.length; row++) {
    const start = row * filletColumns
    for (let i = 0; i < filletColumns; i++) {
      if (Number.isNaN(grey[start + i])) continue
      let [sum, count] = [0, 0]
      for (let k = -reach; k <= reach; k++) {
        const value = grey[start + ((i + k + filletColumns) % filletColumns)]
        if (Number.isNaN(value)) continue
        sum += value
        count++
      }
      out[start + i] = grey[start + i] - sum / count
    }
  }
  return out
}

/** `standpoint`: the turn at which both look from the same place, radians. */
function bestShift(a: Float32Array, b: Float32Array, first: FilletStrip, second: FilletStrip, standpoint: number): number | null {
  const correlations = new Float64Array(filletColumns)
  const strengths = new Float64Array(filletColumns)
  for (let shift = 0; shift < filletColumns; shift++) {
    const turn = (-shift / filletColumns) * 2 * Math.PI
    if (Math.abs(wrapped(turn - standpoint)) < (leastTurnDeg * Math.PI) / 180) continue
    const { correlation, places } = correlationAt(a, b, first, second, shift)
    correlations[shift] = correlation
    strengths[shift] = places >= leastPlaces ? correlation * Math.sqrt(places) : 0
  }
  let best = -1
  for (let k = 0; k < filletColumns; k++) {
    if (correlations[k] >= leastCorrelation && strengths[k] > (best < 0 ? leastStrength : strengths[best])) best = k
  }
  if (best < 0) return null
  const peak = (peakDeg / 360) * filletColumns
  for (let k = 0; k < filletColumns; k++) {
    const off = Math.abs(k - best)
    if (Math.min(off, filletColumns - off) > peak && correlations[k] > 0.35 && strengths[k] * leastLead > strengths[best]) return null
  }
  return best
}

/** The turn at the top of the narrow peak, to a part of a column. */
function placedTurn(a: Float32Array, b: Float32Array, first: FilletStrip, second: FilletStrip, shift: number): number {
  const at = (k: number) => correlationAt(a, b, first, second, (((shift + k) % filletColumns) + filletColumns) % filletColumns).correlation
  const values = Array.from({ length: 2 * searchColumns + 1 }, (_, k) => at(k - searchColumns))
  const top = values.indexOf(Math.max(...values))
  const [before, peak, after] = [values[top - 1] ?? values[top], values[top], values[top + 1] ?? values[top]]
  const bend = before - 2 * peak + after
  const part = bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (before - after)) / bend)) : 0
  return wrapped((-(shift + top - searchColumns + part) / filletColumns) * 2 * Math.PI)
}

/** Place i of the first lies on place i + shift of the second. */
function correlationAt(
  a: Float32Array,
  b: Float32Array,
  first: FilletStrip,
  second: FilletStrip,
  shift: number,
): { correlation: number; places: number } {
  let [ab, aa, bb, places] = [0, 0, 0, 0]
  for (let row = 0; row < first.rows.length; row++) {
    const start = row * filletColumns
    for (let i = 0; i < filletColumns; i++) {
      const x = a[start + i]
      const other = i + shift
      const at = start + (other < filletColumns ? other : other - filletColumns)
      const y = b[at]
      if (Number.isNaN(x) || Number.isNaN(y)) continue
      const weight = first.facing[start + i] * second.facing[at]
      ab += weight * x * y
      aa += weight * x * x
      bb += weight * y * y
      places++
    }
  }
  return { correlation: aa > 0 && bb > 0 ? ab / Math.sqrt(aa * bb) : 0, places }
}

/** A few places of what both see, spread over it. */
function tiesOf(surface: Surface, a: FilletStrip, b: FilletStrip, turn: number): TiePatch[] {
  const shared: { theta: number; s: number }[] = []
  const shift = Math.round((-turn / (2 * Math.PI)) * filletColumns)
  a.rows.forEach((s, row) => {
    for (let i = 0; i < filletColumns; i += 6) {
      const other = (((i + shift) % filletColumns) + filletColumns) % filletColumns
      if (Number.isNaN(a.grey[row * filletColumns + i]) || Number.isNaN(b.grey[row * filletColumns + other])) continue
      shared.push({ theta: ((i + 0.5) / filletColumns) * 2 * Math.PI, s: Math.min(surface.totalS, s) })
    }
  })
  const count = Math.min(8, shared.length)
  // they are all of one match: together they tell no more than it
  const around = 1 / (count * sigmaMm.around ** 2)
  const along = 1 / (count * sigmaMm.along ** 2)
  return Array.from({ length: count }, (_, k) => {
    const { theta, s } = shared[Math.floor(((k + 0.5) * shared.length) / count)]
    return {
      inFirst: { theta, s },
      inSecond: { theta: theta - turn, s },
      correlation: 1,
      information: [around, 0, along] as [number, number, number],
    }
  })
}
