/**
 * Which photographs of a journal show the same surface, and where: what the strips of every pair say of every turn, and, once the turns
 * are settled, the patches that both of a pair show alike there.
 */
import { median } from '../journal/median'
import type { MapPoint, Surface } from '../journal/surface'
import { correlateTurns, spectraOf, type TurnCorrelation } from './strip-correlation'
import { halfStrip, type TextureStrip } from './texture'
import { type TiePatch, tiePatches } from './tie-points'
import { columnsBetween, type TurnEvidence, turnEvidence } from './turn-evidence'
import { wrapped } from '../journal/wrapped-angle'

/** `facing`: angle about the shaft, in the photograph's own frame, at which its camera stands, radians. */
export type FacingStrip = { strip: TextureStrip; facing: number }
/** `first` and `second` are places in the list; columns are those of strips at half their size. */
export type StripMatch = { first: number; second: number; correlation: TurnCorrelation; evidence: TurnEvidence }
/** `turn`: theta of the first frame less theta of the second for the same place, radians. */
export type StripPair = { first: number; second: number; turn: number; strength: number; ties: TiePatch[] }

/** How far two fits may disagree along the axis before they are compared, mm. */
const slideRoomMm = 0.6
/** Within this of one standpoint what stands still beside the shaft looks like the surface. */
const leastTurnDeg = 15
/** How far a pair's own best place may lie from the turns that all pairs settled on, mm. */
const turnRoomMm = 0.9
/** Patches that must find their like, and the share of them that agree within a room. */
const leastTies = 2
const leastAgreeing = 0.6
const agreeMm = 0.4
/** Without such patches: from which evidence on the whole strips' match ties, and how well it is placed, one standard deviation, mm. */
const clearEvidence = 8
const wholeSigmaMm = 0.12
const wholeTies = 6
const wholeStep = 4

/** All strips have one size, their width a power of two. */
export function stripMatches(strips: readonly FacingStrip[]): StripMatch[] {
  const coarse = strips.map(({ strip }) => spectraOf(halfStrip(strip)))
  const matches: StripMatch[] = []
  for (let first = 0; first < strips.length; first++) {
    for (let second = first + 1; second < strips.length; second++) {
      const { width, pxPerMm } = coarse[first].strip
      const correlation = correlateTurns(coarse[first], coarse[second], Math.ceil(slideRoomMm * pxPerMm))
      const standpoint = ((strips[first].facing - strips[second].facing) / (2 * Math.PI)) * width
      matches.push({ first, second, correlation, evidence: turnEvidence(correlation, standpoint, (leastTurnDeg / 360) * width) })
    }
  }
  return matches
}

/** `columns`: how far each photograph's own angles are moved; null where that is not known. */
export function tiedPairs(
  surface: Surface,
  strips: readonly FacingStrip[],
  matches: readonly StripMatch[],
  columns: readonly (number | null)[],
): StripPair[] {
  return matches.flatMap(({ first, second, correlation, evidence }): StripPair[] => {
    const [a, b] = [columns[first], columns[second]]
    if (a === null || b === null) return []
    const width = evidence.length
    const room = Math.round((turnRoomMm * width) / (2 * Math.PI * surface.radius))
    let best = -1
    for (let d = -room; d <= room; d++) {
      const k = (((b - a + d) % width) + width) % width
      if (evidence[k] !== 0 && (best < 0 || correlation.correlation[k] > correlation.correlation[best])) best = k
    }
    if (best < 0) return []
    const [from, to] = [strips[first].strip, strips[second].strip]
    const patches = agreeing(surface, tiePatches(surface, from, to, 2 * best, 2 * correlation.rows[best]))
    const ties = patches ?? (evidence[best] >= clearEvidence ? tiesOfWhole(surface, from, to, 2 * best, 2 * correlation.rows[best]) : [])
    const turn = (columnsBetween(best, 0, width) / width) * 2 * Math.PI
    return ties.length > 0 ? [{ first, second, turn, strength: correlation.correlation[best], ties }] : []
  })
}

/**
 * Where no patches can be told apart, but the strips as wholes lie on each other: a few places of what both show. They are all of one match and
 * together tell no more than it.
 */
function tiesOfWhole(surface: Surface, first: TextureStrip, second: TextureStrip, columns: number, rows: number): TiePatch[] {
  const { width, height, mask } = first
  const shared: MapPoint[] = []
  const shift = { theta: (columns / width) * 2 * Math.PI, s: (-rows / height) * surface.totalS }
  for (let y = Math.max(0, rows); y < Math.min(height, height + rows); y += wholeStep) {
    for (let x = 0; x < width; x += wholeStep) {
      if (mask[y * width + x] && second.mask[(y - rows) * width + ((x - columns + 2 * width) % width)])
        shared.push({ theta: ((x + 0.5) / width) * 2 * Math.PI, s: surface.totalS * (1 - (y + 0.5) / height) })
    }
  }
  const count = Math.min(wholeTies, shared.length)
  const information: TiePatch['information'] = [1 / (count * wholeSigmaMm ** 2), 0, 1 / (count * wholeSigmaMm ** 2)]
  return Array.from({ length: count }, (_, k): TiePatch => {
    const inFirst = shared[Math.floor(((k + 0.5) * shared.length) / count)]
    return { inFirst, inSecond: { theta: inFirst.theta - shift.theta, s: inFirst.s - shift.s }, correlation: 1, information }
  })
}

/** The ties that agree on one place; null where they are too few or too many do not. */
function agreeing(surface: Surface, ties: readonly TiePatch[]): TiePatch[] | null {
  const turns = ties.map(({ inFirst, inSecond }) => inFirst.theta - inSecond.theta)
  const around = turns.map((turn) => surface.radius * wrapped(turn - turns[0]))
  const along = ties.map(({ inFirst, inSecond }) => inFirst.s - inSecond.s)
  const [middleAround, middleAlong] = [median(around), median(along)]
  const agree = ties.filter((_, i) => Math.hypot(around[i] - middleAround, along[i] - middleAlong) <= agreeMm)
  return agree.length < leastTies || agree.length < leastAgreeing * ties.length ? null : agree
}
