/** One mark's finding: what was measured, the pattern that the rule card names, why, and what would settle it. */
import type { MarkMeasure } from '../journal/mark-measure'
import type { Journal } from '../model/journal'
import type { Mark } from '../model/mark'
import type { MarkFinding, Pattern } from '../model/findings'
import { nextTests } from './next-tests'
import { atLeast, atMost, type Evidence, isDiagonal, patternConcern, patternOf } from './pattern'
import type { PlacedMark, PlacementFailure } from './placed-mark'
import { reasonsOf } from './reasons'
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

export function judgeMark(numbers: MarkNumbers, context: MarkContext): MarkFinding {
  const { placed, measure } = numbers
  const { mark } = placed
  const evidence = evidenceOf(numbers, context, 1, numbers.angleDeg)
  const pattern = patternOf(evidence)
  const couldBe = otherPatterns(numbers, context, pattern)
  const concern = isHeatCheck(numbers, evidence, context) ? 'treat-as-cracked' : patternConcern[pattern]
  const { front, rear } = measure.fillets
  const nearest = front.value <= rear.value ? front : rear
  const slide = placed.slideKnown
  const into = Math.max(0, -front.value, -rear.value)
  const nearestHole = [...measure.holes].sort((a, b) => a.distance.value - b.distance.value)[0]
  const reasons = reasonsOf(numbers, context, evidence, pattern)
  return {
    id: mark.id,
    journalId: mark.journalId,
    shape: mark.shape,
    lengthMm: measure.length.value,
    angleToAxisDeg: numbers.angleDeg,
    signedAngleDeg: numbers.angleDeg === null || !measure.angle ? null : degrees(measure.angle.value),
    resultant: numbers.tooShort ? null : measure.resultant,
    worstAngleDeg: numbers.worstDeg,
    aroundDeg: degrees(measure.around),
    alongMm: measure.along,
    filletFrontMm: slide ? Math.max(0, front.value) : null,
    filletRearMm: slide ? Math.max(0, rear.value) : null,
    filletNearestMm: slide ? Math.max(0, nearest.value) : null,
    intoFilletMm: slide ? into : null,
    oilHoles: placed.rollKnown ? measure.holes.map((h) => ({ id: h.id, distanceMm: Math.max(0, h.distance.value), aimed: h.aimed })) : null,
    sigma: {
      angleDeg: numbers.angleSigmaDeg,
      filletMm: slide ? nearest.sigma : null,
      oilHoleMm: placed.rollKnown && nearestHole ? nearestHole.distance.sigma : null,
      lengthMm: measure.length.sigma,
    },
    points: placed.points,
    pattern,
    concern,
    borderline: couldBe.length > 0,
    couldBe,
    reasons,
    nextTests: nextTests(pattern, concern, reasons, context.journal.coating.kind),
  }
}

/** The finding of a mark that could not be placed on the map: never milder than unresolved. */
export function unplacedFinding(mark: Mark, journal: Journal, failure: PlacementFailure): MarkFinding {
  const evidence: Evidence = {
    fillets: null,
    holes: null,
    seen: seenOf(mark),
    directed: mark.shape === 'line',
    angleDeg: null,
    worstDeg: null,
    reachesDiagonal: false,
    fitTrusted: false,
    aroundDeg: 0,
    pitOrStain: false,
    coated: false,
  }
  const pattern = patternOf(evidence)
  const concern = patternConcern[pattern]
  const reasons = reasonsOf(failure, { journal, chainAroundDeg: 0, inNetwork: false, lineNear: false }, evidence, pattern, mark)
  return {
    id: mark.id,
    journalId: mark.journalId,
    shape: mark.shape,
    lengthMm: null,
    angleToAxisDeg: null,
    signedAngleDeg: null,
    resultant: null,
    worstAngleDeg: null,
    aroundDeg: null,
    alongMm: null,
    filletFrontMm: null,
    filletRearMm: null,
    filletNearestMm: null,
    intoFilletMm: null,
    oilHoles: null,
    sigma: { angleDeg: null, filletMm: null, oilHoleMm: null, lengthMm: null },
    points: [],
    pattern,
    concern,
    borderline: false,
    couldBe: [],
    reasons,
    nextTests: nextTests(pattern, concern, reasons, journal.coating.kind),
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
    pitOrStain: isPitOrStain(placed.mark, measure, context),
    coated: context.journal.coating.kind === 'suspected' || context.journal.coating.kind === 'known',
  }
}

/** The confidence interval of the mean angle, unsigned, degrees. */
export function angleInterval(numbers: MarkNumbers): [low: number, high: number] | null {
  if (numbers.angleDeg === null || numbers.angleSigmaDeg === null) return null
  const half = numbers.placed.boundFactor * numbers.angleSigmaDeg
  return [Math.max(0, numbers.angleDeg - half), Math.min(90, numbers.angleDeg + half)]
}

function reachesDiagonal(numbers: MarkNumbers): boolean {
  const interval = angleInterval(numbers)
  return interval !== null && !atMost(interval[1], card.axialMaxDeg) && !atLeast(interval[0], card.aroundMinDeg)
}

/** Patterns that the numbers' intervals leave open beside the one named. */
function otherPatterns(numbers: MarkNumbers, context: MarkContext, named: Pattern): Pattern[] {
  if (!numbers.placed.trusted) return []
  const interval = angleInterval(numbers)
  const angles = interval && numbers.angleDeg !== null ? [numbers.angleDeg, ...interval] : [numbers.angleDeg]
  // an interval may reach over the whole diagonal range
  if (reachesDiagonal(numbers)) angles.push((card.axialMaxDeg + card.aroundMinDeg) / 2)
  const found = new Set<Pattern>()
  for (const side of [1, 0, -1] as const) {
    for (const angleDeg of angles) {
      const worstDeg = isDiagonal(numbers.angleDeg) && !isDiagonal(angleDeg) ? angleDeg : numbers.worstDeg
      found.add(patternOf({ ...evidenceOf(numbers, context, side, angleDeg), reachesDiagonal: false, worstDeg }))
    }
  }
  found.delete(named)
  found.delete('unresolved')
  return [...found]
}

function isPitOrStain(mark: Mark, measure: MarkMeasure, context: MarkContext): boolean {
  if (mark.shape !== 'area' || mark.named === undefined || !measure.rectangle || context.lineNear) return false
  const { longest, shortest } = measure.rectangle
  return !measure.directed && longest < card.pitSlenderness * shortest && atMost(longest, card.pitLongestMm)
}

/** On an overheated journal: a member of a network, and a line that runs along it or, for all that is known of its angle, may. */
export function isHeatCheck(numbers: MarkNumbers, evidence: Evidence, { journal, inNetwork }: MarkContext): boolean {
  if (!journal.overheated) return false
  const interval = evidence.angleDeg === null ? null : angleInterval(numbers)
  return inNetwork || (interval !== null && atMost(interval[0], card.axialMaxDeg))
}

function seenOf(mark: Mark): Evidence['seen'] {
  return { radius: mark.seen.includes('fillet') || mark.seen.includes('cheek'), hole: mark.seen.includes('hole') }
}

function degrees(radians: number): number {
  return (radians * 180) / Math.PI
}
