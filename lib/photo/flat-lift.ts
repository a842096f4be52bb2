/**
 * Where a flat lift lies on the journal's map. One least-squares problem: the homography from the points of known place, and the turn and shift
 * that lay its front and rear edge and its witness line where they are said to be. Each of these three lines may lie off by a common amount of its
 * own, an unknown with a prior, for a line drawn a little off takes all its points along. Wrapped on the journal, the middle of tape or paper of
 * thickness t keeps its length, so a flat distance x around is the angle x / (R + t / 2). Covariance from J'J; JCGM 100 for what follows from it.
 */
import type { MapPoint, Surface } from '../journal/surface'
import type { Mat3 } from '../journal/vector'
import type { Lift } from '../model/lift'
import { defaultPickSigmaPx } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import { inverseHomography, matrixOf, normalMatrix, type ScaledPlane, startHomography, throughHomography } from './homography'
import {
  type KnownPoint,
  type LaidFlat,
  liftedFlat,
  type LiftTask,
  type LiftWeights,
  liftUnknowns,
  linearised,
  startLaid,
  weightsAt,
  whitened,
} from './flat-lift-task'
import { minimise } from './levenberg-marquardt'
import { chiSquare99 } from './quantiles'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

export type LiftFailure =
  | { code: 'few-points'; have: number; need: number }
  | { code: 'points-on-a-line' }
  /** Points on both edges, two on at least one of them, and one on the witness line. */
  | { code: 'edges-missing'; front: number; rear: number }
  | { code: 'witness-missing' }
  | { code: 'edges-one-line' }
  | { code: 'contradictory' }

export type LiftResidual = {
  of: 'scale' | 'front' | 'rear' | 'witness'
  index: number
  /** How far off it lies, mm on the flat, and in its own sigmas. */
  mm: number
  sigmas: number
}

export type LiftFit = {
  /** px to flat mm. */
  toFlat: Mat3
  /** flat mm to px. */
  toPixel: Mat3
  /** Flat mm to mm around and of meridian arc. */
  toMap: LaidFlat
  /** R + t / 2: mm around over this is the angle. */
  wrapRadius: number
  surface: Surface
  chiSquare: number
  degreesOfFreedom: number
  residualsWithinRange: boolean
  residuals: LiftResidual[]
  parameters: Float64Array
  covariance: Float64Array
  scaled: Omit<ScaledPlane, 'entries'>
  mirror: 1 | -1
  pickSigmaPx: number
}

const fewestPoints = 4

export function fitLift(surface: Surface, lift: Lift): Result<LiftFit, LiftFailure> {
  const { front, rear, witness } = lift
  const scalePoints = knownPoints(lift)
  if (scalePoints.length < fewestPoints) return failed({ code: 'few-points', have: scalePoints.length, need: fewestPoints })
  const plane = startHomography(scalePoints.map(({ pixel: [x, y], xMm, yMm }) => ({ flat: { x: xMm, y: yMm }, pixel: { x, y } })))
  if (!plane.ok) return failed({ code: 'points-on-a-line' })
  if (front.pixels.length === 0 || rear.pixels.length === 0 || front.pixels.length + rear.pixels.length < 3)
    return failed({ code: 'edges-missing', front: front.pixels.length, rear: rear.pixels.length })
  if (witness.pixels.length === 0) return failed({ code: 'witness-missing' })
  const wrapRadius = surface.radius + lift.thicknessMm / 2
  const start = startLaid(surface, lift, plane.value, wrapRadius)
  if (!start) return failed({ code: 'edges-one-line' })
  const { toFlat, toPixel } = plane.value
  const scaled = { toFlat, toPixel }
  const pickSigmaPx = lift.pickSigmaPx ?? liftPickSigmaPx(lift.width)
  const first = new Float64Array(liftUnknowns.count)
  first.set(plane.value.entries)
  first.set([start.turn, start.around, start.along], liftUnknowns.turn)
  const task = { surface, lift, scalePoints, scaled, mirror: start.mirror, wrapRadius, pickSigmaPx }
  const weights = weightsAt(task, first)
  if (!weights) return failed({ code: 'contradictory' })
  const residualsAt = (parameters: Float64Array) => whitened(task, weights, parameters)
  const solved = minimise({ linearise: (parameters) => linearised(residualsAt, parameters) }, first)
  const covariance =
    solved && inverseOfPositiveDefinite(normalMatrix(solved.linearisation.jacobian, liftUnknowns.count), liftUnknowns.count)
  if (!solved || !covariance) return failed({ code: 'contradictory' })
  const { parameters } = solved
  const matrix = matrixOf({ ...scaled, entries: parameters.slice(0, 8) })
  const inverse = inverseHomography(matrix)
  if (!inverse) return failed({ code: 'contradictory' })
  const chiSquare = 2 * solved.cost
  const degreesOfFreedom = solved.linearisation.residuals.length - liftUnknowns.count
  return done({
    toFlat: inverse,
    toPixel: matrix,
    toMap: {
      turn: parameters[liftUnknowns.turn],
      around: parameters[liftUnknowns.around],
      along: parameters[liftUnknowns.along],
      mirror: start.mirror,
    },
    wrapRadius,
    surface,
    chiSquare,
    degreesOfFreedom,
    residualsWithinRange: degreesOfFreedom <= 0 || chiSquare <= chiSquare99(degreesOfFreedom),
    residuals: residualList(task, solved.linearisation.residuals, weights, inverse),
    parameters,
    covariance,
    scaled,
    mirror: start.mirror,
    pickSigmaPx,
  })
}

/** The points whose place was typed, with their places in the lift's list. */
function knownPoints(lift: Lift): KnownPoint[] {
  return lift.scalePoints.flatMap(({ pixel, xMm, yMm }, index) => (xMm === null || yMm === null ? [] : [{ pixel, xMm, yMm, index }]))
}

/** Noise of a tapped point on a flat picture: as a pick on a photograph, but never under 0.5 px. */
export function liftPickSigmaPx(width: number): number {
  return Math.max(0.5, defaultPickSigmaPx(width))
}

/** The pixel at which a place of the map is seen on the lift; null beyond the picture's horizon. */
export function liftPixel(fit: LiftFit, { theta, s }: MapPoint): { u: number; v: number } | null {
  const at = throughHomography(fit.toPixel, liftedFlat(fit.toMap, { around: theta * fit.wrapRadius, s }))
  return at && { u: at.x, v: at.y }
}

function residualList({ scalePoints }: LiftTask, residuals: Float64Array, weights: LiftWeights, toFlat: Mat3): LiftResidual[] {
  const scale = scalePoints.map(({ pixel: [x, y], xMm, yMm, index }, row): LiftResidual => {
    const flat = throughHomography(toFlat, { x, y })
    const mm = flat ? Math.hypot(flat.x - xMm, flat.y - yMm) : Number.POSITIVE_INFINITY
    return { of: 'scale', index, mm, sigmas: Math.hypot(residuals[2 * row], residuals[2 * row + 1]) }
  })
  const lines = weights.lines.map(({ of, index, sigmaMm }, i): LiftResidual => {
    const sigmas = residuals[2 * scalePoints.length + i]
    return { of, index, mm: Math.abs(sigmas) * sigmaMm, sigmas: Math.abs(sigmas) }
  })
  return [...scale, ...lines]
}
