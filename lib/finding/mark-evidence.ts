/** The facts of one mark as the rules read them: angles in degrees, distances at the bound asked for, what a person saw. */
import type { MarkMeasure } from '../journal/mark-measure'
import type { Journal } from '../model/journal'
import type { Mark } from '../model/mark'
import { atLeast, atMost, type Evidence } from './pattern'
import type { PlacedMark } from './placed-mark'
import { holeBandMm, radiusBandMm, ruleCard } from './rule-card'

export type MarkContext = {
  journal: Journal
  /** Extent of the chain that the mark belongs to, degrees; 0 for none. */
  chainAroundDeg: number
  inNetwork: boolean
  /** Does a line lie in or within the card's distance of this area, at the pessimistic bound? */
  lineNear: boolean
}

export type MarkNumbers = {
  placed: PlacedMark
  measure: MarkMeasure
  angleDeg: number | null
  angleSigmaDeg: number | null
  worstDeg: number | null
  tooShort: boolean
}

const card = ruleCard.values

/** The numbers that the rules read, angles in degrees; a mark shorter than three pick sigmas has no direction. */
export function markNumbers(placed: PlacedMark, measure: MarkMeasure): MarkNumbers {
  const tooShort = measure.directed && !atLeast(measure.length.value, card.shortFactor * placed.pickSigmaMm)
  const directed = measure.directed && !tooShort
  return {
    placed,
    measure,
    tooShort,
    angleDeg: directed && measure.angle ? degrees(Math.abs(measure.angle.value)) : null,
    angleSigmaDeg: directed && measure.angle ? degrees(measure.angle.sigma) : null,
    worstDeg: directed && measure.worstAngle !== null ? degrees(measure.worstAngle) : null,
  }
}

/**
 * What the table reads. `side` 1 takes every distance at its pessimistic bound, 0 as measured, -1 at the other bound.
 * Handles that contradict each other leave no geometry to read: what a person saw still stands.
 */
export function evidenceOf(numbers: MarkNumbers, context: MarkContext, side: -1 | 0 | 1, angleDeg: number | null): Evidence {
  const { placed, measure } = numbers
  const bound = (m: { value: number; sigma: number }) => Math.max(0, m.value - side * placed.boundFactor * m.sigma)
  const usable = placed.consistent
  const { front, rear } = measure.fillets
  return {
    fillets:
      usable && placed.slideKnown
        ? [
            { distance: bound(front), band: radiusBandMm(placed.surface.front) },
            { distance: bound(rear), band: radiusBandMm(placed.surface.rear) },
          ]
        : null,
    holes:
      usable && placed.rollKnown
        ? measure.holes.map((h) => ({
            distance: bound(h.distance),
            band: holeBandMm(h.largerAxis),
            reach: card.aimReachFactor * h.largerAxis,
            aimed: h.aimed,
          }))
        : null,
    seen: seenOf(placed.mark),
    directed: measure.directed,
    angleDeg: usable ? angleDeg : null,
    worstDeg: usable ? numbers.worstDeg : null,
    reachesDiagonal: reachesDiagonal(numbers),
    fitTrusted: placed.trusted,
    aroundDeg: Math.max(degrees(measure.around), context.chainAroundDeg),
    pitOrStain: isPitOrStain(placed.mark, measure, context) && isSureToRecord(numbers),
    coated: context.journal.coating.kind === 'suspected' || context.journal.coating.kind === 'known',
  }
}

/** The confidence interval of the mean angle, unsigned, degrees. */
export function angleInterval(numbers: MarkNumbers): [low: number, high: number] | null {
  if (numbers.angleDeg === null || numbers.angleSigmaDeg === null) return null
  const half = numbers.placed.boundFactor * numbers.angleSigmaDeg
  return [Math.max(0, numbers.angleDeg - half), Math.min(90, numbers.angleDeg + half)]
}

export function reachesDiagonal(numbers: MarkNumbers): boolean {
  const interval = angleInterval(numbers)
  return interval !== null && !atMost(interval[1], card.axialMaxDeg) && !atLeast(interval[0], card.aroundMinDeg)
}

export function isPitOrStain(mark: Mark, measure: MarkMeasure, context: MarkContext): boolean {
  if (mark.shape !== 'area' || mark.named === undefined || !measure.rectangle || context.lineNear) return false
  const { longest, shortest } = measure.rectangle
  return !measure.directed && longest < card.pitSlenderness * shortest && atMost(longest, card.pitLongestMm)
}

/**
 * `record` is the one word that asks nobody to look further. A mark picked in a photograph comes to it only where it is away from every
 * band, and no line, by more sigmas than the one-sided bound has: 1.645 of them let through one in twenty of those that lie on a limit. What was
 * measured on the journal and drawn on the map is taken as it was given.
 */
export function isSureToRecord({ placed, measure }: MarkNumbers): boolean {
  if (!placed.mark.pixels || !measure.rectangle) return true
  const { longest, shortest, slenderSigma } = measure.rectangle
  const surely = ({ value, sigma }: { value: number; sigma: number }, band: number) => value - card.recordSigmas * sigma > band
  return (
    longest - card.pitSlenderness * shortest + card.recordSigmas * slenderSigma < 0 &&
    surely(measure.fillets.front, radiusBandMm(placed.surface.front)) &&
    surely(measure.fillets.rear, radiusBandMm(placed.surface.rear)) &&
    measure.holes.every((hole) => surely(hole.distance, holeBandMm(hole.largerAxis)))
  )
}

/** On an overheated journal: a member of a network, and a line that runs along it or, for all that is known of its angle, may. */
export function isHeatCheck(numbers: MarkNumbers, evidence: Evidence, { journal, inNetwork }: MarkContext): boolean {
  if (!journal.overheated) return false
  const interval = evidence.angleDeg === null ? null : angleInterval(numbers)
  return inNetwork || (interval !== null && atMost(interval[0], card.axialMaxDeg))
}

export function seenOf(mark: Mark): Evidence['seen'] {
  return { radius: mark.seen.includes('fillet') || mark.seen.includes('cheek'), hole: mark.seen.includes('hole') }
}

export function degrees(radians: number): number {
  return (radians * 180) / Math.PI
}
