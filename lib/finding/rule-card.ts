/** The rule card: every limit that a finding is argued with, and who says so. A shop may widen a band, never narrow it. */
import { trustLimits } from '../photo/fit-quality'
import { outlierSigmas } from '../photo/fit-warnings'
import type { SurfaceEnd } from '../journal/surface'

export const ruleCard = {
  version: '1.0',
  values: {
    radiusBandFactor: 1.5,
    radiusBandLeastMm: 3.2,
    holeBandLeastMm: 4.8,
    touchMm: 0.2,
    axialMaxDeg: 20,
    aroundMinDeg: 75,
    stretchMm: 6,
    aimReachFactor: 2,
    ringDeg: 300,
    confidenceSigmas: 1.6448536269514722,
    trustChiSquareShare: trustLimits.chiSquareShare,
    trustAngleSigmaDeg: trustLimits.angleSigmaDeg,
    trustFilletSigmaMm: trustLimits.filletSigmaMm,
    handleOffSigmas: outlierSigmas,
    shortFactor: 3,
    recordSigmas: 4,
    pitLongestMm: 5,
    pitSlenderness: 3,
    pitLineGapMm: 1,
    chainTurnDeg: 15,
    parallelTurnDeg: 10,
    parallelGapMm: 10,
    crossedGapMm: 5,
    networkGapMm: 2,
    networkResultant: 0.4,
  },
} as const

export type RuleName = keyof typeof ruleCard.values

/** Where each limit comes from, in words for the screen. */
export const ruleSources: Record<RuleName, string> = {
  radiusBandFactor: 'critical fillet area a = 1.5 r, class rules (from memory)',
  radiusBandLeastMm: 'TM 9-2815-225-34P: 3.175 mm (1/8 in) of the fillet',
  holeBandLeastMm: 'TM 9-2815-225-34P: 4.763 mm (3/16 in) of the pin’s oil hole',
  touchMm: 'common practice, no source',
  axialMaxDeg: 'torsion 45 ± 10 degrees (TM 9-2815-225-34P), twist cracks 45 to 70 (ASTM A456): widened on both sides',
  aroundMinDeg: 'bending with torsion 45 to 67 degrees, worked out from the principal stress; twist cracks to 70 (ASTM A456)',
  stretchMm: 'common practice, no source',
  aimReachFactor: 'common practice, no source',
  ringDeg: 'common practice, no source',
  confidenceSigmas: '95 % one-sided; JCGM 106, decision rules (from memory)',
  trustChiSquareShare: 'common practice, no source',
  trustAngleSigmaDeg: 'common practice, no source',
  trustFilletSigmaMm: 'common practice, no source',
  handleOffSigmas: 'common practice, no source',
  shortFactor: 'GUM, JCGM 100: the direction of a mark as short as its picks are uncertain is not known',
  recordSigmas: 'common practice, no source; of 20,000 random marks none that was a crack came to be recorded',
  pitLongestMm: 'non-linear indications to 5 mm on journal surfaces, class recommendations (from memory)',
  pitSlenderness: 'a linear indication is at least three times as long as wide (EN 1369, API)',
  pitLineGapMm: 'common practice, no source',
  chainTurnDeg: 'common practice, no source',
  parallelTurnDeg: 'common practice, no source',
  parallelGapMm: 'common practice, no source',
  crossedGapMm: 'common practice, no source; reversed torsion cracks on two planes at 45 degrees (ASM failure case)',
  networkGapMm: 'aligned indications less than 2 mm apart count together (EN 1369)',
  networkResultant: 'common practice, no source',
}

/** Width of the radius band beside a tangent line, mm: each end its own. */
export function radiusBandMm(end: Pick<SurfaceEnd, 'radius'>): number {
  return Math.max(ruleCard.values.radiusBandFactor * end.radius, ruleCard.values.radiusBandLeastMm)
}

/** Width of the band about an oil hole's rim, mm. */
export function holeBandMm(largerAxis: number): number {
  return Math.max(ruleCard.values.holeBandLeastMm, largerAxis / 2)
}
