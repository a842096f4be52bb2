/** Why a mark got its pattern: every fact that speaks, with its value and the limit that it is held against. */
import type { Pattern, Reason } from '../model/findings'
import type { Mark } from '../model/mark'
import { angleInterval, isHeatCheck, isPitOrStain, isSureToRecord, type MarkContext, type MarkNumbers } from './mark-evidence'
import { atLeast, atMost, type Evidence, isDiagonal } from './pattern'
import type { PlacementFailure } from './placed-mark'
import { holeBandMm, radiusBandMm, ruleCard } from './rule-card'

const card = ruleCard.values

/** Reasons of a placed mark, or of one that could not be placed (then `mark` names it). */
export function reasonsOf(
  facts: MarkNumbers | PlacementFailure,
  context: MarkContext,
  evidence: Evidence,
  pattern: Pattern,
  mark: Mark | null = null,
): Reason[] {
  if ('code' in facts) return [...seenReasons(mark), placementReason(facts)]
  const reasons = [
    ...seenReasons(facts.placed.mark),
    ...filletReasons(facts),
    ...holeReasons(facts, evidence),
    ...directionReasons(facts, context, evidence),
    ...certaintyReasons(facts, evidence),
    ...areaReasons(facts, context),
  ]
  const { coating } = context.journal
  if (pattern === 'plating-craze')
    reasons.push(
      reason(
        'coating',
        `hard plating is ${coating.kind}: craze in it is said to run around the journal (workshop lore, no source); so may a crack`,
        coating.kind,
        null,
        '',
      ),
    )
  if (pattern === 'line-around')
    reasons.push(
      reason(
        'coating',
        coating.kind === 'none'
          ? 'no plating is recorded: a score or a crack across the steel'
          : 'plating is unknown: craze, score or crack, geometry cannot say',
        coating.kind,
        null,
        '',
      ),
    )
  if (isHeatCheck(facts, evidence, context))
    reasons.push(
      reason(
        'overheated',
        'the journal shows heat colour or a spun bearing: heat cracks run along it or as a network',
        'overheated',
        null,
        '',
      ),
    )
  if (facts.placed.mark.seen.includes('branches')) reasons.push(reason('seen-branches', 'a person saw it branch', 'branches', null, ''))
  if (facts.placed.mark.feel === 'catches')
    reasons.push(reason('feel-catches', 'a fingernail catches: so it does on a groove, and on a crack', 'catches', null, ''))
  return reasons
}

function seenReasons(mark: Mark | null): Reason[] {
  const words = {
    fillet: 'a person saw it enter the fillet',
    cheek: 'a person saw it enter the cheek',
    hole: 'a person saw it enter an oil hole',
  } as const
  return (mark?.seen ?? []).flatMap((what) => (what === 'branches' ? [] : [reason(`seen-${what}`, words[what], what, null, '')]))
}

function placementReason(failure: PlacementFailure): Reason {
  if (failure.code === 'no-fit') return reason('fit-missing', 'its photograph is not fitted, so nothing can be measured', null, null, '')
  if (failure.code === 'off-journal')
    return reason('off-journal', `point ${failure.pixel + 1} misses the journal in its photograph`, failure.pixel + 1, null, '')
  return reason('grazing', 'it is seen too flatly in its photograph to be measured', null, null, '')
}

function filletReasons({ placed, measure }: MarkNumbers): Reason[] {
  if (!placed.slideKnown)
    return [
      reason(
        'slide-unknown',
        'its photograph shows no ring, hole or witness mark: the distance to the fillets is not known',
        null,
        null,
        'mm',
      ),
    ]
  return (['front', 'rear'] as const).map((end) => {
    const { value, sigma } = measure.fillets[end]
    const band = radiusBandMm(placed.surface[end])
    const bound = Math.max(0, value - placed.boundFactor * sigma)
    if (value < 0)
      return reason(`in-${end}-fillet`, `it reaches ${mm(-value)} past the tangent line into the ${end} fillet`, -value, 0, 'mm')
    if (atMost(bound, band))
      return reason(
        `in-${end}-radius-band`,
        `${mm(bound)} from the ${end} fillet at worst (measured ${mm(value)}); up to ${mm(band)} counts as the radius`,
        bound,
        band,
        'mm',
      )
    return reason(
      `away-from-${end}-fillet`,
      `away from the ${end} fillet: ${mm(bound)} at worst, the band ends at ${mm(band)}`,
      bound,
      band,
      'mm',
    )
  })
}

function holeReasons({ placed, measure }: MarkNumbers, evidence: Evidence): Reason[] {
  if (!placed.rollKnown)
    return [
      reason('roll-unknown', 'its photograph shows no oil hole or witness mark: the distance to oil holes is not known', null, null, 'mm'),
    ]
  const diagonal = isDiagonal(evidence.angleDeg) || isDiagonal(evidence.worstDeg)
  return measure.holes.flatMap((hole) => {
    const bound = Math.max(0, hole.distance.value - placed.boundFactor * hole.distance.sigma)
    const band = holeBandMm(hole.largerAxis)
    const reach = card.aimReachFactor * hole.largerAxis
    const found: Reason[] = []
    if (atMost(bound, card.touchMm))
      found.push(reason('touches-oil-hole', `it touches oil hole ${hole.id} (${mm(bound)} at worst)`, bound, card.touchMm, 'mm'))
    else if (atMost(bound, band))
      found.push(
        reason(
          'in-oil-hole-band',
          `${mm(bound)} from the rim of oil hole ${hole.id} at worst; up to ${mm(band)} counts as at the hole`,
          bound,
          band,
          'mm',
        ),
      )
    else
      found.push(
        reason(
          'away-from-oil-hole',
          `away from oil hole ${hole.id}: ${mm(bound)} at worst, the band ends at ${mm(band)}`,
          bound,
          band,
          'mm',
        ),
      )
    if (diagonal && hole.aimed && atMost(bound, reach))
      found.push(
        reason(
          'aims-at-oil-hole',
          `its straight extension meets oil hole ${hole.id}, ${mm(bound)} away; up to ${mm(reach)} counts`,
          bound,
          reach,
          'mm',
        ),
      )
    return found
  })
}

function directionReasons(numbers: MarkNumbers, context: MarkContext, evidence: Evidence): Reason[] {
  const { angleDeg, worstDeg, measure } = numbers
  const found: Reason[] = []
  if (angleDeg !== null && isDiagonal(angleDeg))
    found.push(
      reason(
        'diagonal',
        `it runs diagonally, ${deg(angleDeg)} to the shaft: more than ${card.axialMaxDeg} and less than ${card.aroundMinDeg} degrees`,
        angleDeg,
        card.axialMaxDeg,
        'deg',
      ),
    )
  else if (angleDeg !== null && atMost(angleDeg, card.axialMaxDeg))
    found.push(reason('runs-along', `it runs along the shaft, ${deg(angleDeg)}`, angleDeg, card.axialMaxDeg, 'deg'))
  else if (angleDeg !== null)
    found.push(reason('runs-around', `it runs around the journal, ${deg(angleDeg)} to the shaft`, angleDeg, card.aroundMinDeg, 'deg'))
  if (worstDeg !== null && isDiagonal(worstDeg) && !isDiagonal(angleDeg))
    found.push(
      reason(
        'diagonal-stretch',
        `a stretch of ${card.stretchMm} mm of it runs diagonally, ${deg(worstDeg)}`,
        worstDeg,
        card.aroundMinDeg,
        'deg',
      ),
    )
  if (atLeast(evidence.aroundDeg, card.ringDeg)) {
    const own = (measure.around * 180) / Math.PI
    const whose = context.chainAroundDeg > own ? 'with the marks that continue it, it goes' : 'it goes'
    found.push(
      reason(
        'ring',
        `${whose} ${deg(evidence.aroundDeg)} around the journal; it may still be a crack`,
        evidence.aroundDeg,
        card.ringDeg,
        'deg',
      ),
    )
  }
  return found
}

function certaintyReasons(numbers: MarkNumbers, evidence: Evidence): Reason[] {
  const { placed, measure, tooShort, angleDeg } = numbers
  const found: Reason[] = []
  if (!placed.trusted) found.push(reason('fit-not-trusted', 'the fit of its photograph is not good enough to judge by', null, null, ''))
  if (tooShort) {
    const limit = card.shortFactor * placed.pickSigmaMm
    found.push(
      reason(
        'too-short',
        `${mm(measure.length.value)} long: under ${mm(limit)} its picks leave no direction`,
        measure.length.value,
        limit,
        'mm',
      ),
    )
  }
  const interval = angleInterval(numbers)
  if (interval && angleDeg !== null && !isDiagonal(angleDeg) && evidence.reachesDiagonal) {
    const along = atMost(angleDeg, card.axialMaxDeg)
    found.push(
      reason(
        'interval-reaches-diagonal',
        `its angle is known to ${deg(interval[0])} to ${deg(interval[1])}: that reaches into the diagonal range`,
        along ? interval[1] : interval[0],
        along ? card.axialMaxDeg : card.aroundMinDeg,
        'deg',
      ),
    )
  }
  return found
}

function areaReasons(numbers: MarkNumbers, context: MarkContext): Reason[] {
  const { placed, measure } = numbers
  const { rectangle } = measure
  if (!rectangle) return []
  const found = [
    reason('area', `a patch of ${mm(rectangle.longest)} by ${mm(rectangle.shortest)}`, rectangle.longest, card.pitLongestMm, 'mm'),
  ]
  if (measure.directed)
    found.push(
      reason(
        'slender-area',
        'at least three times as long as wide: measured as a line',
        rectangle.longest / Math.max(rectangle.shortest, 1e-9),
        card.pitSlenderness,
        '',
      ),
    )
  if (placed.mark.named) found.push(reason('named', `a person named it a ${placed.mark.named}`, placed.mark.named, null, ''))
  if (isPitOrStain(placed.mark, measure, context) && !isSureToRecord(numbers))
    found.push(
      reason(
        'not-sure-to-record',
        `by ${card.recordSigmas} sigmas it may still reach a band or be a line: not certain enough to be recorded only`,
        null,
        card.recordSigmas,
        '',
      ),
    )
  if (context.lineNear)
    found.push(reason('line-near', `a line lies in it or within ${card.pitLineGapMm} mm`, null, card.pitLineGapMm, 'mm'))
  return found
}

function reason(code: string, text: string, value: number | string | null, limit: number | null, unit: Reason['unit']): Reason {
  return { code, text, value, limit, unit }
}

function mm(value: number): string {
  return `${value.toFixed(2)} mm`
}

function deg(value: number): string {
  return `${value.toFixed(1)} degrees`
}
