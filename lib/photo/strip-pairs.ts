/**
 * Which photographs of a journal show the same surface, and where: strips correlated pair by pair, each match then
 * tried patch by patch. A photograph laid wrongly by a part of a turn is worse than one not laid at all, so that a
 * match is refused unless its peak stands out, patches over some breadth find their like, and these agree on one place.
 */
import type { Surface } from '../journal/surface'
import { matchStrips, type StripSpectra, spectraOf } from './strip-correlation'
import { halfStrip, type TextureStrip } from './texture'
import { type TiePatch, tiePatches } from './tie-points'
import type { TurnMatch } from './turn-graph'
import { wrapped } from '../journal/wrapped-angle'

/** `facing`: angle about the shaft, in the photograph's own frame, at which its camera stands, radians. */
export type FacingStrip = { strip: TextureStrip; facing: number }
export type StripPair = TurnMatch & { ties: TiePatch[] }

/** Correlations that are taken for a match: the peak itself, and how far it stands above the next one. */
const leastPeak = 0.28
const leastLead = 0.1
/** How far two fits may disagree along the axis before they are compared, mm. */
const slideRoomMm = 0.6
/** Within this of one standpoint what stands still beside the shaft looks like the surface. */
const leastTurnDeg = 15
/** Patches that found their like, over how many steps around, and the share of them that agree within a room. */
const leastTies = 4
const leastBreadthMm = 5
const leastAgreeing = 0.7
const agreeMm = 0.4

/** All strips have one size, their width a power of two. `first` and `second` are places in the list. */
export function stripPairs(surface: Surface, strips: readonly FacingStrip[]): StripPair[] {
  const coarse = strips.map(({ strip }) => spectraOf(halfStrip(strip)))
  const pairs: StripPair[] = []
  for (let first = 0; first < strips.length; first++) {
    for (let second = first + 1; second < strips.length; second++) {
      const pair = pairOf(surface, strips, coarse, first, second)
      if (pair) pairs.push(pair)
    }
  }
  return pairs
}

function pairOf(
  surface: Surface,
  strips: readonly FacingStrip[],
  coarse: readonly StripSpectra[],
  first: number,
  second: number,
): StripPair | null {
  const [a, b] = [strips[first], strips[second]]
  const { width, pxPerMm } = coarse[first].strip
  const match = matchStrips(coarse[first], coarse[second], {
    mostRows: Math.ceil(slideRoomMm * pxPerMm),
    sameStandpoint: ((a.facing - b.facing) / (2 * Math.PI)) * width,
    leastTurn: (leastTurnDeg / 360) * width,
  })
  if (!match || match.peak < leastPeak || match.peak - match.second < leastLead) return null
  const turn = (match.columns / width) * 2 * Math.PI
  const ties = agreeing(surface, tiePatches(surface, a.strip, b.strip, 2 * match.columns, 2 * match.rows))
  return ties && { first, second, turn, strength: match.peak, ties }
}

/** The ties that agree on one place; null where they are too few, too close together, or too many do not. */
function agreeing(surface: Surface, ties: readonly TiePatch[]): TiePatch[] | null {
  const turns = ties.map(({ inFirst, inSecond }) => inFirst.theta - inSecond.theta)
  const around = turns.map((turn) => surface.radius * wrapped(turn - turns[0]))
  const along = ties.map(({ inFirst, inSecond }) => inFirst.s - inSecond.s)
  const [middleAround, middleAlong] = [median(around), median(along)]
  const agree = ties.filter((_, i) => Math.hypot(around[i] - middleAround, along[i] - middleAlong) <= agreeMm)
  if (agree.length < leastTies || agree.length < leastAgreeing * ties.length) return null
  const from = agree[0].inFirst.theta
  const places = agree.map(({ inFirst }) => surface.radius * wrapped(inFirst.theta - from))
  return Math.max(...places) - Math.min(...places) >= leastBreadthMm ? agree : null
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0
}
