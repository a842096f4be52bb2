/**
 * One pick against what a state of the search predicts: signed distances in px with their derivatives by the ten
 * unknowns. This is the innermost loop of every fit, so it works on plain numbers and writes into one scratch.
 *
 * A side point measures the distance to the projected apparent contour, a ring point the distance to the projected
 * circle. Both are distances to a curve: the place on the curve is solved for each point (a nuisance), and because the
 * pick is nearest there, only the movement of that place along the curve's normal enters the derivative. For the
 * contour this holds although it glides over the surface: the contour moves in the picture as the material point
 * below it does (R. Cipolla and P. Giblin, Visual Motion of Curves and Surfaces, 2000).
 */
import { ringOf, sOfAxial, surfacePoint } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import type { RingPlace } from '../model/photo'
import { emptySight, look, type Sight } from './camera'
import { type FitState, unknownCount, unknownIndex, writeMovement } from './fit-state'
import type { Observation } from './observation'

/** Written over by the next reading. */
export type Reading = {
  /** How many residuals: one for a place on a curve, two for a point. */
  count: number
  /** px, pick less prediction along the curve's normal (of a point: along u, then along v). */
  residualsPx: Float64Array
  /** One full row of unknowns for each residual. */
  rows: Float64Array
  /** The predicted place nearest to the pick: in the journal frame (mm), and as it is seen. */
  point: Float64Array
  sight: Sight
}

export function emptyReading(): Reading {
  return {
    count: 0,
    residualsPx: new Float64Array(2),
    rows: new Float64Array(2 * unknownCount),
    point: new Float64Array(3),
    sight: emptySight(),
  }
}

/** The place on a curve is solved to this, mm: its error enters the residual only squared. */
const settledMm = 1e-5

type Pick = { u: number; v: number }

/** False where the state cannot see it (camera inside the metal, point behind the camera). */
export function readObservation(
  state: FitState,
  observation: Observation,
  contourSigns: readonly [1 | -1, 1 | -1],
  into: Reading,
): boolean {
  if (observation.type === 'contour') return readContour(state, observation, contourSigns[observation.list], into)
  if (observation.type === 'circle') return readCircle(state, observation, observation.at, into)
  const at = { theta: observation.theta, s: sOfAxial(state.surface, observation.axial) }
  return readPoint(state, surfacePoint(state.surface, at), observation, into)
}

function readContour(state: FitState, pick: Pick, sign: 1 | -1, into: Reading): boolean {
  if (!state.contours) return false
  const generator = state.contours[sign > 0 ? 0 : 1]
  const x = generator[0]
  const y = generator[1]
  const { rotation: r, translation: t, focalPx, k1, width, height } = state.camera
  // the place of the generator that comes nearest to where the pick looks, its distortion taken off roughly: a start for the search in the picture
  const pu = (pick.u - width / 2) / focalPx
  const pv = (pick.v - height / 2) / focalPx
  const bend = roughBend(k1, pu * pu + pv * pv)
  const depth = r[6] * x + r[7] * y + t[2]
  const du = r[2] - pu * bend * r[8]
  const dv = r[5] - pv * bend * r[8]
  const size = du * du + dv * dv
  const offU = r[0] * x + r[1] * y + t[0] - pu * bend * depth
  const offV = r[3] * x + r[4] * y + t[1] - pv * bend * depth
  let z = size > 0 ? -(offU * du + offV * dv) / size : 0
  for (let i = 0; i < 8; i++) {
    if (!look(state.camera, x, y, z, into.sight)) return false
    const step = stepAlong(into.sight, r[2], r[5], r[8], pick)
    z += step
    if (Math.abs(step) < settledMm) break
  }
  return readCurve(state, x, y, z, r[2], r[5], r[8], pick, into)
}

function readCircle(state: FitState, pick: Pick, at: RingPlace, into: Reading): boolean {
  const { axial, radius } = ringOf(state.surface, at)
  const { rotation: r, focalPx, k1, width, height } = state.camera
  // where the pick's ray meets the ring's cylinder on the side of the camera, or comes nearest to it
  const pu = (pick.u - width / 2) / focalPx
  const pv = (pick.v - height / 2) / focalPx
  const bend = roughBend(k1, pu * pu + pv * pv)
  const dx = r[0] * pu * bend + r[3] * pv * bend + r[6]
  const dy = r[1] * pu * bend + r[4] * pv * bend + r[7]
  const ox = state.place[0]
  const oy = state.place[1]
  const a = dx * dx + dy * dy
  const b = ox * dx + oy * dy
  const root = b * b - a * (ox * ox + oy * oy - radius * radius)
  const along = a > 0 ? (-b - (root > 0 ? Math.sqrt(root) : 0)) / a : 0
  let x = ox + along * dx
  let y = oy + along * dy
  const start = radius / Math.sqrt(x * x + y * y)
  if (!Number.isFinite(start)) return false
  x *= start
  y *= start
  for (let i = 0; i < 12; i++) {
    if (!look(state.camera, x, y, axial, into.sight)) return false
    const step = stepAlong(into.sight, r[1] * x - r[0] * y, r[4] * x - r[3] * y, r[7] * x - r[6] * y, pick)
    const turn = Math.max(-0.2, Math.min(0.2, step))
    const keep = 1 / Math.sqrt(1 + turn * turn)
    const turned = (x - turn * y) * keep
    y = (y + turn * x) * keep
    x = turned
    if (Math.abs(turn) * radius < settledMm) break
  }
  if (!readCurve(state, x, y, axial, r[1] * x - r[0] * y, r[4] * x - r[3] * y, r[7] * x - r[6] * y, pick, into)) return false
  addRadii(state, at, into)
  return true
}

function readPoint(state: FitState, point: Vec3, pick: Pick, into: Reading): boolean {
  const { sight, residualsPx, rows } = into
  const x = point[0]
  const y = point[1]
  const z = point[2]
  setPoint(into, x, y, z)
  if (!look(state.camera, x, y, z, sight)) return false
  into.count = 2
  residualsPx[0] = pick.u - sight[0]
  residualsPx[1] = pick.v - sight[1]
  writeMovement(state, x, y, z, sight, -1, 0, rows, 0)
  writeMovement(state, x, y, z, sight, 0, -1, rows, unknownCount)
  return true
}

/** Distance from the pick to the curve at (x, y, z), whose tangent (camera frame) is (tx, ty, tz). */
function readCurve(
  state: FitState,
  x: number,
  y: number,
  z: number,
  tx: number,
  ty: number,
  tz: number,
  pick: Pick,
  into: Reading,
): boolean {
  const { sight, residualsPx, rows } = into
  setPoint(into, x, y, z)
  if (!look(state.camera, x, y, z, sight)) return false
  const dx = tx - sight[2] * tz
  const dy = ty - sight[3] * tz
  const tu = sight[5] * dx + sight[6] * dy
  const tv = sight[6] * dx + sight[7] * dy
  const size = Math.sqrt(tu * tu + tv * tv)
  if (!(size > 0)) return false
  const nu = -tv / size
  const nv = tu / size
  into.count = 1
  residualsPx[0] = nu * (pick.u - sight[0]) + nv * (pick.v - sight[1])
  writeMovement(state, x, y, z, sight, -nu, -nv, rows, 0)
  return true
}

/** Gauss-Newton step along a curve with the given tangent (camera frame), towards the pick. */
function stepAlong(sight: Sight, tx: number, ty: number, tz: number, pick: Pick): number {
  const dx = (tx - sight[2] * tz) * sight[4]
  const dy = (ty - sight[3] * tz) * sight[4]
  const tu = sight[5] * dx + sight[6] * dy
  const tv = sight[6] * dx + sight[7] * dy
  const size = tu * tu + tv * tv
  return size > 0 ? (tu * (pick.u - sight[0]) + tv * (pick.v - sight[1])) / size : 0
}

/** How a ring's residual changes when the front or the rear fillet radius grows by 1 mm. */
function addRadii({ surface }: FitState, at: RingPlace, { rows, point }: Reading): void {
  if (typeof at === 'number') return
  const front = at === 'front-fillet' || at === 'front-cheek'
  const end = front ? surface.front : surface.rear
  if (end.form !== 'tangent') return
  const slot = front ? unknownIndex.frontRadius : unknownIndex.rearRadius
  if (at === 'front-fillet') rows[slot] = rows[unknownIndex.slide]
  else if (at === 'rear-fillet') rows[slot] = -rows[unknownIndex.slide]
  // a cheek ring widens: outwards along its own direction, as the offsets move it
  else rows[slot] = (point[0] * rows[unknownIndex.offsetX] + point[1] * rows[unknownIndex.offsetY]) / Math.hypot(point[0], point[1])
}

/** Two rounds of x = x_d / (1 + k1 r^2): near enough to start from. */
function roughBend(k1: number, square: number): number {
  if (k1 === 0) return 1
  const first = 1 / Math.max(0.5, 1 + k1 * square)
  return 1 / Math.max(0.5, 1 + k1 * square * first * first)
}

function setPoint({ point }: Reading, x: number, y: number, z: number): void {
  point[0] = x
  point[1] = y
  point[2] = z
}
