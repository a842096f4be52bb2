/**
 * Places tapped on a flat lift, on the map: with the covariance that the tap, the homography, the edges and the witness line leave, and as a mark
 * of the journal. A mark of the map carries one sigma, so the worst vertex's larger axis stands for all: what the vertices share is counted anew for
 * each, which widens the angle's uncertainty and never narrows it. A lift shows the cylinder alone: places beyond a tangent line are refused.
 */
import type { MapPoint } from '../journal/surface'
import type { Lift } from '../model/lift'
import type { MarkPoint } from '../model/mark'
import type { Pixel } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import type { LiftFit } from './flat-lift'
import { liftUnknowns, placerAt } from './flat-lift-task'

/** `covariance`: of the place around (mm on the cylinder) and of s (mm), with their mixed term: [around, mixed, s]. */
export type LiftedPoint = MapPoint & {
  covariance: [number, number, number]
  /** The larger axis of its ellipse of one standard deviation, mm. */
  sigmaMm: number
}

export type LiftMarkFailure =
  /** Points or lines contradict each other: nothing can be measured before that is mended. */
  | { code: 'contradicts' }
  | { code: 'beyond-horizon'; index: number }
  /** By how much, mm, the place lies past the end of the cylinder. */
  | { code: 'past-tangent-line'; index: number; end: 'front' | 'rear'; byMm: number }

/** Two-sided 95 %: within it a place past the tangent line may as well lie on it. */
const graceSigmas = 1.96
const step = 1e-6

/** Null beyond the picture's horizon. */
export function liftedPoint(fit: LiftFit, pixel: Pixel): LiftedPoint | null {
  const placeOf = placerAt(fit, fit.parameters)
  const place = placeOf(pixel)
  if (!place) return null
  const { count } = liftUnknowns
  const around = new Float64Array(count)
  const along = new Float64Array(count)
  for (let k = 0; k < count; k++) {
    const [low, high] = [-step, step].map((by) => {
      const moved = fit.parameters.map((value, i) => (i === k ? value + by : value))
      return placerAt(fit, moved)(pixel)
    })
    if (!low || !high) return null
    around[k] = (high.around - low.around) / (2 * step)
    along[k] = (high.s - low.s) / (2 * step)
  }
  const covariance: [number, number, number] = [product(fit, around, around), product(fit, around, along), product(fit, along, along)]
  for (const axis of [0, 1]) {
    const shift = (by: number): Pixel => (axis === 0 ? [pixel[0] + by, pixel[1]] : [pixel[0], pixel[1] + by])
    const [low, high] = [placeOf(shift(-0.5)), placeOf(shift(0.5))]
    if (!low || !high) return null
    const slope = [high.around - low.around, high.s - low.s]
    const noise = fit.pickSigmaPx ** 2
    covariance[0] += noise * slope[0] * slope[0]
    covariance[1] += noise * slope[0] * slope[1]
    covariance[2] += noise * slope[1] * slope[1]
  }
  // from the middle of tape or paper to the cylinder itself
  const shrink = fit.surface.radius / fit.wrapRadius
  covariance[0] *= shrink * shrink
  covariance[1] *= shrink
  const middle = (covariance[0] + covariance[2]) / 2
  const sigmaMm = Math.sqrt(middle + Math.hypot((covariance[0] - covariance[2]) / 2, covariance[1]))
  return { theta: place.around / fit.wrapRadius, s: place.s, covariance, sigmaMm }
}

/** A line or outline tapped on the lift, as the points of a mark on the map: angles run on from the first, which lies within 0..360. */
export function liftMark(fit: LiftFit, pixels: readonly Pixel[]): Result<{ points: MarkPoint[]; sigmaMm: number }, LiftMarkFailure> {
  if (!fit.residualsWithinRange) return failed({ code: 'contradicts' })
  const placed: LiftedPoint[] = []
  for (const [index, pixel] of pixels.entries()) {
    const point = liftedPoint(fit, pixel)
    if (!point) return failed({ code: 'beyond-horizon', index })
    const grace = graceSigmas * Math.sqrt(point.covariance[2])
    const { frontTangentS, rearTangentS } = fit.surface
    const past =
      point.s < frontTangentS
        ? ({ end: 'front', byMm: frontTangentS - point.s } as const)
        : ({ end: 'rear', byMm: point.s - rearTangentS } as const)
    if (past.byMm > grace) return failed({ code: 'past-tangent-line', index, ...past })
    placed.push(point)
  }
  const first = placed[0]?.theta ?? 0
  const turns = Math.floor(first / (2 * Math.PI))
  return done({
    points: placed.map(({ theta, s }) => ({
      angleDeg: rounded((theta * 180) / Math.PI - 360 * turns),
      s: rounded(Math.min(fit.surface.totalS, Math.max(0, s))),
    })),
    sigmaMm: Math.ceil(Math.max(0, ...placed.map((point) => point.sigmaMm)) * 1000) / 1000,
  })
}

/** What a mark's note says of where it comes from. */
export function liftNote({ id, kind }: Pick<Lift, 'id' | 'kind'>): string {
  return kind === 'tape' ? `From a lift: tape lift ${id}.` : `From a lift: paper rubbing ${id}.`
}

function product({ covariance }: LiftFit, one: Float64Array, other: Float64Array): number {
  const n = one.length
  let sum = 0
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) sum += one[i] * covariance[i * n + j] * other[j]
  return sum
}

function rounded(value: number): number {
  return Math.round(value * 1e4) / 1e4
}
