/**
 * A micrometer reading that does not fit its neighbours, and what was probably meant: the other unit, a shifted decimal point, two digits
 * swapped, one digit wrong. It asks; it refuses nothing. The tolerances are common practice, no source.
 */
import type { Units } from '../model/inspection'
import { decimalsFor, fromMm, mmPerInch } from '../model/units'

export type OddReading = {
  /** Reading less what it was held against, mm. */
  difference: number
  against: 'other-readings' | 'set-up'
  /** mm; null where no single slip explains it. */
  likely: number | null
}

/** mm: readings of one journal lie within this of their median, short of heavy wear. */
const amongReadings = 0.15
/** mm: a journal may have been cut 1.5 mm under its standard size. */
const againstSetUp = 1.6

/**
 * @param others the journal's other readings, mm.
 * @param setUp the journal's diameter as set up, mm.
 * @param units those it was typed in: the slip is looked for in these digits.
 */
export function oddReading(reading: number, others: readonly number[], setUp: number, units: Units): OddReading | null {
  const reference = others.length > 0 ? median(others) : setUp
  const tolerance = others.length > 0 ? amongReadings : againstSetUp
  if (Math.abs(reading - reference) <= tolerance) return null
  const fits = (candidate: number) => Math.abs(candidate - reference) <= tolerance
  const nearest = (candidates: number[]) =>
    candidates.filter(fits).sort((a, b) => Math.abs(a - reference) - Math.abs(b - reference))[0] ?? null
  const likely =
    nearest([reading * mmPerInch, reading / mmPerInch]) ??
    nearest([10, 0.1, 100, 0.01, 1000, 0.001].map((factor) => reading * factor)) ??
    nearest(respelled(reading, units))
  return { difference: reading - reference, against: others.length > 0 ? 'other-readings' : 'set-up', likely }
}

/** The usual undersizes on diameter: inch as in TM 5-4310-354-14; mm are common practice, no source. In mm. */
const undersizes: Record<Units, readonly number[]> = {
  mm: [0.25, 0.5, 0.75, 1, 1.25, 1.5],
  in: [0.01, 0.02, 0.03, 0.04, 0.06].map((inch) => inch * mmPerInch),
}
/** mm: wear and cutting tolerance around an undersize. */
const nearUndersize = 0.06

/**
 * How far a reading lies under the smallest standard size, and the undersize it is close to.
 * @returns null where it is not clearly under, or so far under that it is no size of this journal.
 */
export function underStandard(reading: number, standardMin: number, units: Units): { under: number; undersize: number | null } | null {
  const under = standardMin - reading
  if (under < 0.02 || under > againstSetUp) return null
  const close = undersizes[units].filter((step) => Math.abs(step - under) <= nearUndersize)
  return { under, undersize: close.sort((a, b) => Math.abs(a - under) - Math.abs(b - under))[0] ?? null }
}

/** The reading with two digits swapped, or one replaced. */
function respelled(reading: number, units: Units): number[] {
  const text = fromMm(reading, units).toFixed(decimalsFor(units, 'reading'))
  return [...swaps(text), ...replacements(text)].map((variant) => (units === 'mm' ? Number(variant) : Number(variant) * mmPerInch))
}

function digitPlaces(text: string): number[] {
  return [...text].flatMap((character, place) => (character === '.' ? [] : [place]))
}

function swaps(text: string): string[] {
  const places = digitPlaces(text)
  return places.flatMap((first, index) =>
    places.slice(index + 1).map((second) => {
      const characters = [...text]
      ;[characters[first], characters[second]] = [characters[second] as string, characters[first] as string]
      return characters.join('')
    }),
  )
}

function replacements(text: string): string[] {
  return digitPlaces(text).flatMap((place) => [...'0123456789'].map((digit) => text.slice(0, place) + digit + text.slice(place + 1)))
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  const middle = Math.floor(sorted.length / 2)
  const upper = sorted[middle] as number
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[middle - 1] as number)) / 2
}
