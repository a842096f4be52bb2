/** The table of patterns: the first row that holds names the pattern. Distances come in at the bound that is asked for. */
import type { MarkConcern, Pattern } from '../model/findings'
import { ruleCard } from './rule-card'

export type Evidence = {
  /** Distances to the tangent lines, mm, at the bound asked for; null where the slide is unknown. */
  fillets: { distance: number; band: number }[] | null
  /** Distances to the oil holes, mm, at the bound asked for; null where the roll is unknown. */
  holes: { distance: number; band: number; reach: number; aimed: boolean }[] | null
  seen: { radius: boolean; hole: boolean }
  /** A line, or an area so slender that it is measured as one. */
  directed: boolean
  /** Unsigned angle to the axis and that of the worst stretch, degrees; null where the mark has no direction. */
  angleDeg: number | null
  worstDeg: number | null
  /** Does the confidence interval of the mean angle reach into the diagonal range? */
  reachesDiagonal: boolean
  fitTrusted: boolean
  /** The mark's extent around the journal, or its chain's if that is more, degrees. */
  aroundDeg: number
  pitOrStain: boolean
  coated: boolean
}

const { touchMm, axialMaxDeg, aroundMinDeg, ringDeg } = ruleCard.values

/** A value equal to a limit is inside it, also where it was worked out and rounding put it a hair off (mm or degrees). */
const hair = 1e-9

export function atMost(value: number, limit: number): boolean {
  return value <= limit + hair
}

export function atLeast(value: number, limit: number): boolean {
  return value >= limit - hair
}

export function patternOf(e: Evidence): Pattern {
  const inRadius = e.fillets?.some((f) => atMost(f.distance, f.band)) ?? false
  const touches = e.holes?.some((h) => atMost(h.distance, touchMm)) ?? false
  const diagonal = isDiagonal(e.angleDeg) || isDiagonal(e.worstDeg)
  if (e.seen.radius || inRadius) return 'radius-crack'
  if (e.seen.hole || touches) return 'oil-hole-crack'
  if (diagonal && e.holes?.some((h) => atMost(h.distance, h.band) || (h.aimed && atMost(h.distance, h.reach)))) return 'oil-hole-crack'
  if (diagonal) return 'diagonal-crack'
  if (!e.fitTrusted || e.fillets === null || e.holes === null) return 'unresolved'
  if (e.directed && (e.angleDeg === null || e.reachesDiagonal)) return 'unresolved'
  if (e.holes.some((h) => atMost(h.distance, h.band))) return 'near-oil-hole'
  if (e.directed && e.angleDeg !== null) {
    if (atMost(e.angleDeg, axialMaxDeg)) return 'axial-check'
    if (atLeast(e.aroundDeg, ringDeg)) return 'score-ring'
    return e.coated ? 'plating-craze' : 'line-around'
  }
  return e.pitOrStain ? 'pit-or-stain' : 'patch'
}

/** Concern of a pattern before a journal's heat is considered. */
export const patternConcern: Record<Pattern, MarkConcern> = {
  'radius-crack': 'treat-as-cracked',
  'oil-hole-crack': 'treat-as-cracked',
  'diagonal-crack': 'treat-as-cracked',
  unresolved: 'hold',
  'near-oil-hole': 'hold',
  'axial-check': 'hold',
  'score-ring': 'hold',
  'plating-craze': 'hold',
  'line-around': 'hold',
  patch: 'hold',
  'pit-or-stain': 'record',
}

export function isDiagonal(angleDeg: number | null): boolean {
  return angleDeg !== null && !atMost(angleDeg, axialMaxDeg) && !atLeast(angleDeg, aroundMinDeg)
}

const order = { 'treat-as-cracked': 3, hold: 2, record: 1, 'nothing-recorded': 0 } as const

/** The graver of concerns; 'nothing-recorded' for none. */
export function worstConcern<C extends keyof typeof order>(concerns: readonly C[]): C | 'nothing-recorded' {
  return concerns.reduce<C | 'nothing-recorded'>((worst, c) => (order[c] > order[worst] ? c : worst), 'nothing-recorded')
}
