/**
 * What a person probably meant by a length far outside the usual: an inch value typed where mm are read, the other way round, or a
 * decimal point in the wrong place. It asks and never refuses. The usual ranges are common practice for vehicle and industrial engines, no source.
 */
import type { Units } from './inspection'
import { mmPerInch } from './units'

export type UsualRange = { min: number; max: number }
export type LikelyLength = {
  /** mm */
  mm: number
  slip: 'typed-in-inch' | 'typed-in-mm' | 'decimal-point'
}

/** mm */
export const usualLengths = {
  diameter: { min: 20, max: 250 },
  width: { min: 10, max: 200 },
  filletRadius: { min: 0.5, max: 15 },
  undercutWidth: { min: 1, max: 12 },
  mouth: { min: 2, max: 30 },
  axial: { min: 1, max: 200 },
  platingPerSide: { min: 0.005, max: 0.8 },
  radiusSigma: { min: 0.01, max: 1 },
} as const satisfies Record<string, UsualRange>

/**
 * @param mm the length as read.
 * @param units those it was read in: where mm are read an inch value may have been typed, and the other way round.
 * @returns the likeliest length inside the usual range, or null where the length is usual or no single slip explains it.
 */
export function likelyLength(mm: number, usual: UsualRange, units: Units): LikelyLength | null {
  if (isUsual(mm, usual) || !(mm > 0)) return null
  const candidates: LikelyLength[] = [
    units === 'mm' ? { mm: mm * mmPerInch, slip: 'typed-in-inch' } : { mm: mm / mmPerInch, slip: 'typed-in-mm' },
    ...[10, 0.1, 100, 0.01, 1000, 0.001].map((factor) => ({ mm: mm * factor, slip: 'decimal-point' as const })),
  ]
  return candidates.find((candidate) => isUsual(candidate.mm, usual)) ?? null
}

export function isUsual(mm: number, usual: UsualRange): boolean {
  return mm >= usual.min && mm <= usual.max
}
