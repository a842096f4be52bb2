/**
 * The least-squares problem behind a flat lift: what each tapped point says, whitened by its own noise, and where one starts from. The noise of a
 * point of known place is that of the tap and of its place together; that of a point on a line is the tap's, seen across the line.
 */
import type { Surface } from '../journal/surface'
import { sOfAxial } from '../journal/surface'
import type { Lift, LiftEdge } from '../model/lift'
import type { Pixel } from '../model/photo'
import {
  determinantOf,
  type FlatPoint,
  inverseHomography,
  matrixOf,
  projected,
  type ScaledPlane,
  scaledPoint,
  throughHomography,
} from './homography'

/** How a flat place is laid on the map: turned, shifted in mm, its y turned over where `mirror` is -1. */
export type LaidFlat = { turn: number; around: number; along: number; mirror: 1 | -1 }

/** Places of the unknowns: eight entries of the homography, turn, shift around and along, how far front, rear and witness line lie off, mm. */
export const liftUnknowns = { turn: 8, around: 9, along: 10, front: 11, rear: 12, witness: 13, count: 14 }

/** `index`: its place in the lift's list. */
export type KnownPoint = { pixel: Pixel; xMm: number; yMm: number; index: number }

export type LiftTask = {
  surface: Surface
  lift: Lift
  scalePoints: readonly KnownPoint[]
  scaled: Omit<ScaledPlane, 'entries'>
  mirror: 1 | -1
  /** mm around over this is the angle. */
  wrapRadius: number
  pickSigmaPx: number
}

/** For each point of known place the inverse of the lower Cholesky factor of its covariance in px; for each point on a line its sigma in mm. */
export type LiftWeights = {
  points: [number, number, number][]
  lines: { of: 'front' | 'rear' | 'witness'; index: number; pixel: Pixel; sigmaMm: number }[]
}

/** The place on the map of a flat place, in mm around (its angle times R + t / 2) and of meridian arc. */
export function laid({ turn, around, along, mirror }: LaidFlat, { x, y }: FlatPoint): { around: number; s: number } {
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  return { around: c * x - s * mirror * y + around, s: s * x + c * mirror * y + along }
}

/** The flat place of a place on the map. */
export function liftedFlat({ turn, around, along, mirror }: LaidFlat, place: { around: number; s: number }): FlatPoint {
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  const [x, y] = [place.around - around, place.s - along]
  return { x: c * x + s * y, y: mirror * (c * y - s * x) }
}

/** Where an edge of the lift lies along the meridian, mm. */
export function edgeS(surface: Surface, end: 'front' | 'rear', { at }: LiftEdge): number {
  if (at === 'tangent-line') return end === 'front' ? surface.frontTangentS : surface.rearTangentS
  return sOfAxial(surface, at)
}

/** Turn and shift from the edges as the start homography shows them. */
export function startLaid(surface: Surface, lift: Lift, plane: ScaledPlane, wrapRadius: number): LaidFlat | null {
  const matrix = matrixOf(plane)
  const inverse = inverseHomography(matrix)
  const flat = (pixels: readonly Pixel[]) => pixels.flatMap(([x, y]) => (inverse && throughHomography(inverse, { x, y })) ?? [])
  const [fronts, rears, witnesses] = [flat(lift.front.pixels), flat(lift.rear.pixels), flat(lift.witness.pixels)]
  const [ofFront, ofRear] = [longest(fronts), longest(rears)]
  const long = ofFront.length >= ofRear.length ? ofFront : ofRear
  const [front, rear, witness] = [middleOf(fronts), middleOf(rears), middleOf(witnesses)]
  if (!front || !rear || !witness || long.length < 1e-6) return null
  const across = { x: -long.y / long.length, y: long.x / long.length }
  const apart = across.x * (rear.x - front.x) + across.y * (rear.y - front.y)
  if (Math.abs(apart) < 0.02 * long.length) return null
  // the unit vector along which s grows
  const up = apart > 0 ? across : { x: -across.x, y: -across.y }
  // a picture has its v downward: seen from outside, the flat's own axes may still run either way
  const handed = Math.sign(determinantOf(matrix))
  const mirror = (lift.shows === 'outside' ? -handed : handed) > 0 ? 1 : -1
  const turn = Math.atan2(up.x, mirror * up.y)
  const bare = { turn, around: 0, along: 0, mirror } as const
  return {
    ...bare,
    around: ((lift.witness.angleDeg * Math.PI) / 180) * wrapRadius - laid(bare, witness).around,
    along: (edgeS(surface, 'front', lift.front) + edgeS(surface, 'rear', lift.rear) - laid(bare, front).s - laid(bare, rear).s) / 2,
  }
}

export function weightsAt(task: LiftTask, parameters: Float64Array): LiftWeights | null {
  const { lift, scalePoints, scaled, pickSigmaPx } = task
  const points: LiftWeights['points'] = []
  for (const { xMm, yMm } of scalePoints) {
    const at = projected(parameters, scaledPoint(scaled.toFlat, { x: xMm, y: yMm }))
    if (!at) return null
    const k = (lift.scaleSigmaMm * scaled.toPixel.size) / scaled.toFlat.size
    const [a, b, c, d] = at.byPlace.map((slope) => slope * k)
    const noise = pickSigmaPx ** 2
    const first = Math.sqrt(a * a + b * b + noise)
    const mixed = (a * c + b * d) / first
    const second = Math.sqrt(c * c + d * d + noise - mixed * mixed)
    points.push([1 / first, -mixed / (first * second), 1 / second])
  }
  const placeOf = placerAt(task, parameters)
  const lines: LiftWeights['lines'] = []
  for (const line of ['front', 'rear', 'witness'] as const)
    for (const [index, pixel] of lift[line].pixels.entries()) {
      const slopes = [0, 1].map((axis) => {
        const [low, high] = [-0.5, 0.5].map((by) => placeOf([pixel[0] + (axis === 0 ? by : 0), pixel[1] + (axis === 1 ? by : 0)]))
        return low && high ? (line === 'witness' ? high.around - low.around : high.s - low.s) : Number.NaN
      })
      const sigmaMm = pickSigmaPx * Math.hypot(slopes[0], slopes[1])
      if (!(sigmaMm > 0)) return null
      lines.push({ of: line, index, pixel, sigmaMm })
    }
  return { points, lines }
}

export function whitened(task: LiftTask, weights: LiftWeights, parameters: Float64Array): Float64Array | null {
  const { lift, scalePoints, surface, scaled, wrapRadius } = task
  const out: number[] = []
  for (const [i, { pixel, xMm, yMm }] of scalePoints.entries()) {
    const at = projected(parameters, scaledPoint(scaled.toFlat, { x: xMm, y: yMm }))
    if (!at) return null
    const du = at.u * scaled.toPixel.size + scaled.toPixel.x - pixel[0]
    const dv = at.v * scaled.toPixel.size + scaled.toPixel.y - pixel[1]
    const [first, mixed, second] = weights.points[i]
    out.push(first * du, mixed * du + second * dv)
  }
  const placeOf = placerAt(task, parameters)
  for (const { of, pixel, sigmaMm } of weights.lines) {
    const place = placeOf(pixel)
    if (!place) return null
    if (of === 'witness')
      out.push((place.around - ((lift.witness.angleDeg * Math.PI) / 180) * wrapRadius - parameters[liftUnknowns.witness]) / sigmaMm)
    else out.push((place.s - edgeS(surface, of, lift[of]) - parameters[liftUnknowns[of]]) / sigmaMm)
  }
  for (const line of ['front', 'rear', 'witness'] as const) out.push(parameters[liftUnknowns[line]] / Math.max(1e-6, lift.lineSigmaMm))
  return Float64Array.from(out)
}

/** Where pixels lie on the map under these unknowns: null for all where the homography has no inverse, for one beyond the horizon. */
export function placerAt({ scaled, mirror }: Pick<LiftTask, 'scaled' | 'mirror'>, parameters: Float64Array) {
  const inverse = inverseHomography(matrixOf({ ...scaled, entries: parameters }))
  const lie: LaidFlat = {
    turn: parameters[liftUnknowns.turn],
    around: parameters[liftUnknowns.around],
    along: parameters[liftUnknowns.along],
    mirror,
  }
  return ([x, y]: readonly [number, number]): { around: number; s: number } | null => {
    const flat = inverse && throughHomography(inverse, { x, y })
    return flat && laid(lie, flat)
  }
}

/** Central differences: every unknown is scaled to about 1, or a length in mm. */
export function linearised(residualsAt: (parameters: Float64Array) => Float64Array | null, parameters: Float64Array) {
  const residuals = residualsAt(parameters)
  if (!residuals) return null
  const jacobian = new Float64Array(residuals.length * liftUnknowns.count)
  for (let k = 0; k < liftUnknowns.count; k++) {
    const [low, high] = [-step, step].map((by) => residualsAt(parameters.map((value, i) => (i === k ? value + by : value))))
    if (!low || !high) return null
    for (let row = 0; row < residuals.length; row++) jacobian[row * liftUnknowns.count + k] = (high[row] - low[row]) / (2 * step)
  }
  return { residuals, jacobian }
}

const step = 1e-6

/** From the first to the furthest of the points. */
function longest(points: readonly FlatPoint[]): { x: number; y: number; length: number } {
  const first = points[0]
  const far = points.map((point) => ({
    x: point.x - first.x,
    y: point.y - first.y,
    length: Math.hypot(point.x - first.x, point.y - first.y),
  }))
  return far.reduce((one, other) => (other.length > one.length ? other : one), { x: 0, y: 0, length: 0 })
}

function middleOf(points: readonly FlatPoint[]): FlatPoint | null {
  if (points.length === 0) return null
  const mean = (of: (point: FlatPoint) => number) => points.reduce((sum, point) => sum + of(point), 0) / points.length
  return { x: mean((point) => point.x), y: mean((point) => point.y) }
}
