/** One mark's finding: what was measured, the pattern that the rule card names, why, and what would settle it. */
import type { Journal } from '../model/journal'
import type { Mark } from '../model/mark'
import type { MarkFinding, Pattern } from '../model/findings'
import {
  angleInterval,
  degrees,
  evidenceOf,
  isHeatCheck,
  type MarkContext,
  type MarkNumbers,
  reachesDiagonal,
  seenOf,
} from './mark-evidence'
import { nextTests } from './next-tests'
import { type Evidence, isDiagonal, patternConcern, patternOf } from './pattern'
import type { PlacementFailure } from './placed-mark'
import { reasonsOf } from './reasons'
import { ruleCard } from './rule-card'

const card = ruleCard.values

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
