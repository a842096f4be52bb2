/**
 * Many rendered cases through the product and, where asked, through the likelihood floor: every number of every mark beside its truth and
 * the deviation that was claimed for it. The commands that print tables and the tests that hold limits share it.
 */
import { assess } from '../../lib/finding/assess'
import { readInspection } from '../../lib/journal/read-inspection'
import type { MarkFinding } from '../../lib/model/findings'
import { fitPhoto } from '../../lib/photo/cylinder-fit'
import { asRotation, type CaseOptions, plainOptions, type RenderedCase, randomCase } from '../fixtures/render/cases'
import type { TrueNumbers } from '../fixtures/render/drawn-line'
import { likeliestCamera, numbersThrough } from './likelihood-floor'

export const settings = {
  'focal known': {},
  'focal with prior': { focalKnown: false },
  'focal and k1 unknown, any ends, marks in fillets': { focalKnown: false, distortion: 'solve', ends: 'any', filletMarks: true },
  'no hole': { picks: { ...plainOptions.picks, holes: false } },
  'no hole, focal and k1 unknown, any ends, marks in fillets': {
    focalKnown: false,
    distortion: 'solve',
    ends: 'any',
    filletMarks: true,
    picks: { ...plainOptions.picks, holes: false },
  },
} satisfies Record<string, Partial<CaseOptions>>

export type SettingName = keyof typeof settings
export const quantities = ['angle', 'length', 'fillet', 'hole'] as const
export type Quantity = (typeof quantities)[number]

/** A told number less the true one, and the deviation claimed for it. */
export type Claim = { quantity: Quantity | 'vertex around' | 'vertex along'; error: number; sigma: number }
export type Sample = Claim & { seed: number; mark: string; quantity: Quantity; floorError: number | null }

/** How many cases a command runs: THROWMARK_CASES, else the small number that belongs to the daily tests. */
export function caseCount(usual: number): number {
  return wholeNumber('THROWMARK_CASES', usual)
}

/** The first seed: THROWMARK_FIRST, so that a long run can be cut into pieces. */
export function firstSeed(usual: number): number {
  return wholeNumber('THROWMARK_FIRST', usual)
}

function wholeNumber(name: string, usual: number): number {
  const asked = Number(process.env[name] ?? usual)
  if (!(Number.isInteger(asked) && asked > 0)) throw new Error(`${name} is ${process.env[name]}: give a whole number above 0`)
  return asked
}

/** Signed errors of one case's marks: what is told less what is true, beside the floor's. */
export function samplesOf(rendered: RenderedCase, withFloor: boolean): Sample[] {
  const read = readInspection(rendered.inspection)
  if (!read.ok) throw new Error(`seed ${rendered.seed}: ${JSON.stringify(read.reason)}`)
  const findings = assess(read.value, {})
  const floorCamera = withFloor ? likeliestCamera(rendered) : null
  return findings.marks.flatMap((mark) => {
    const truth = rendered.truth[mark.id]
    const pixels = rendered.inspection.marks.find((m) => m.id === mark.id)?.pixels ?? []
    const floor = floorCamera && numbersThrough(rendered, floorCamera, pixels)
    return claimsOfMark(mark, truth).map((claim): Sample => {
      const value = floor ? numberOf(floor, claim.quantity) : null
      const silent = value === null || (isDistance(claim.quantity) && value === 0)
      const floorError = silent ? null : difference(claim.quantity, value, numberOf(truth, claim.quantity))
      return { ...claim, seed: rendered.seed, mark: mark.id, floorError }
    })
  })
}

/** What a finding claims, beside the truth; distances that are 0 on either side say nothing of a sigma. */
export function claimsOfMark(mark: MarkFinding, truth: TrueNumbers): (Claim & { quantity: Quantity })[] {
  const told: Record<Quantity, [value: number | null, sigma: number | null]> = {
    angle: [mark.signedAngleDeg, mark.sigma.angleDeg],
    length: [mark.lengthMm, mark.sigma.lengthMm],
    fillet: [mark.filletNearestMm, mark.sigma.filletMm],
    hole: [mark.oilHoles?.[0].distanceMm ?? null, mark.sigma.oilHoleMm],
  }
  return quantities.flatMap((quantity) => {
    const [value, sigma] = told[quantity]
    const real = numberOf(truth, quantity)
    if (value === null || sigma === null || (isDistance(quantity) && (value === 0 || real === 0))) return []
    return [{ quantity, error: difference(quantity, value, real), sigma }]
  })
}

function isDistance(quantity: Quantity): boolean {
  return quantity === 'fillet' || quantity === 'hole'
}

function numberOf(numbers: TrueNumbers, quantity: Quantity): number {
  if (quantity === 'angle') return numbers.signedAngleDeg
  if (quantity === 'length') return numbers.lengthMm
  return quantity === 'fillet' ? numbers.filletNearestMm : numbers.oilHoles[0].distanceMm
}

/** Directions are undirected: a whole half-turn is no difference. */
function difference(quantity: Quantity, value: number, real: number): number {
  const plain = value - real
  return quantity === 'angle' ? plain - 180 * Math.round(plain / 180) : plain
}

export function caseOf(setting: SettingName, seed: number, more: Partial<CaseOptions> = {}): RenderedCase {
  return randomCase(seed, { ...settings[setting], ...more })
}

/** 95th percentile of sizes. */
export function p95(errors: readonly number[]): number {
  return errors.map(Math.abs).sort((a, b) => a - b)[Math.min(errors.length - 1, Math.floor(0.95 * errors.length))]
}

/** How a fitted axis lies to the true one: degrees between them, whether it points the other way, and how far the camera's place is off. */
export function axisError(rendered: RenderedCase): { axisDeg: number; reversed: boolean; placeShare: number } {
  const read = readInspection(rendered.inspection)
  if (!read.ok) throw new Error(`seed ${rendered.seed}: ${JSON.stringify(read.reason)}`)
  const outcome = fitPhoto(read.value.journals[0], read.value.photos[0], null)
  if (!outcome.ok) return { axisDeg: Number.NaN, reversed: true, placeShare: Number.NaN }
  const { rotation, translation } = outcome.value.camera
  const truth = asRotation(rendered.camera)
  const axis = [2, 5, 8].reduce((sum, i) => sum + rotation[i] * truth.rotation[i], 0)
  const off = Math.hypot(...translation.map((value, i) => value - truth.translation[i]))
  return {
    axisDeg: (Math.acos(Math.min(1, Math.abs(axis))) * 180) / Math.PI,
    reversed: axis < 0,
    placeShare: off / Math.hypot(...truth.translation),
  }
}
