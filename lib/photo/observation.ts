/**
 * Handles as observations: each gives signed distances in px between a pick and what the state predicts, with
 * their derivatives by the unknowns.
 *
 * A side point measures the distance to the projected apparent contour, a ring point the distance to the projected
 * circle. Both are distances to a curve: the place on the curve is solved for each point (a nuisance), and because the
 * pick is nearest there, only the movement of that place along the curve's normal enters the derivative. For the
 * contour this holds although it glides over the surface: the contour moves in the picture as the material point
 * below it does (R. Cipolla and P. Giblin, Visual Motion of Curves and Surfaces, 2000).
 */
import { type MapPoint, ringOf, type Surface, surfaceNormal, surfacePoint, sOfAxial } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import type { Handles, RingPlace } from '../model/photo'
import type { Journal } from '../model/journal'
import { cameraPlace, pixelRay } from './camera'
import { type FitState, movementAlong, type SeenPoint, seenPoint, unknownIndex } from './fit-state'
import { nearCylinderHit } from './unproject'

export type HandleRef =
  | { kind: 'side'; list: 0 | 1; index: number }
  | { kind: 'ring'; ring: number; at: RingPlace; index: number }
  | { kind: 'oilHole'; index: number; id: string }
  | { kind: 'clock'; index: number; angleDeg: number; axial: number }

export type Observation = { handle: HandleRef; u: number; v: number } & (
  | { type: 'contour'; list: 0 | 1 }
  | { type: 'circle'; at: RingPlace }
  | { type: 'point'; theta: number; axial: number }
)

export type Measured = {
  residualsPx: number[]
  /** One full row of unknowns for each residual. */
  rows: Float64Array[]
  /** The predicted place nearest to the pick. */
  nearest: { u: number; v: number }
  /** Does the predicted place face the camera? */
  facing: boolean
  /** Axial place of the predicted point, mm. */
  axial: number
}

/** The place on a curve is solved to this, mm: its error enters the residual only squared. */
const settledMm = 1e-5

export function observationsOf(journal: Journal, handles: Handles): Observation[] {
  const observations: Observation[] = []
  handles.sides.forEach((points, list) => {
    points.forEach(([u, v], index) => {
      observations.push({ type: 'contour', list: list as 0 | 1, handle: { kind: 'side', list: list as 0 | 1, index }, u, v })
    })
  })
  handles.rings.forEach(({ at, points }, ring) => {
    points.forEach(([u, v], index) => {
      observations.push({ type: 'circle', at, handle: { kind: 'ring', ring, at, index }, u, v })
    })
  })
  handles.oilHoles.forEach(({ id, center: [u, v] }, index) => {
    const hole = journal.oilHoles.find((h) => h.id === id)
    if (hole)
      observations.push({ type: 'point', theta: radians(hole.angleDeg), axial: hole.axial, handle: { kind: 'oilHole', index, id }, u, v })
  })
  handles.clock.forEach(({ angleDeg, axial, point: [u, v] }, index) => {
    observations.push({ type: 'point', theta: radians(angleDeg), axial, handle: { kind: 'clock', index, angleDeg, axial }, u, v })
  })
  return observations
}

/**
 * Do the handles tell the front of the journal from its rear? A named ring does; of holes, witness marks and inked lines it
 * takes two at different places, because sides and a single place look the same with the journal turned end for end.
 */
export function tellsFrontFromRear(observations: readonly Observation[]): boolean {
  const places = new Set<string>()
  for (const o of observations) {
    if (o.type === 'circle' && typeof o.at !== 'number') return true
    if (o.type === 'circle') places.add(`axial ${o.at}`)
    if (o.type === 'point') {
      places.add(`axial ${o.axial}`)
      places.add(`angle ${Math.cos(o.theta).toFixed(6)} ${Math.sin(o.theta).toFixed(6)}`)
    }
  }
  const axials = [...places].filter((place) => place.startsWith('axial')).length
  return axials > 1 || places.size - axials > 1
}

/** Measures one observation; null where the state cannot see it (camera inside the metal, point behind the camera). */
export function measure(state: FitState, observation: Observation, contourSigns: readonly [1 | -1, 1 | -1]): Measured | null {
  if (observation.type === 'contour') return measureContour(state, observation, contourSigns[observation.list])
  if (observation.type === 'circle') return measureCircle(state, observation, observation.at)
  return measurePoint(state, observation, { theta: observation.theta, s: sOfAxial(state.surface, observation.axial) })
}

function measureContour(state: FitState, pick: { u: number; v: number }, sign: 1 | -1): Measured | null {
  const { radius } = state.surface
  const place = cameraPlace(state.camera)
  const distance = Math.hypot(place[0], place[1])
  if (distance <= radius * 1.0001) return null
  const theta = Math.atan2(place[1], place[0]) + sign * Math.acos(radius / distance)
  const x = radius * Math.cos(theta)
  const y = radius * Math.sin(theta)
  const ray = pixelRay(state.camera, pick)
  let z = nearestOnGenerator(x, y, ray.origin, ray.direction)
  for (let i = 0; i < 8; i++) {
    const seen = seenPoint(state, [x, y, z])
    if (!seen) return null
    const step = alongCurve(seen, [0, 0, 1], pick)
    z += step
    if (Math.abs(step) < settledMm) break
  }
  const seen = seenPoint(state, [x, y, z])
  return seen && curveResidual(state, seen, [x, y, z], [0, 0, 1], pick, true, null)
}

function measureCircle(state: FitState, pick: { u: number; v: number }, at: RingPlace): Measured | null {
  const { axial, radius } = ringOf(state.surface, at)
  const ray = pixelRay(state.camera, pick)
  let alpha = startAngle(ray.origin, ray.direction, radius)
  const pointAt = (angle: number): Vec3 => [radius * Math.cos(angle), radius * Math.sin(angle), axial]
  const tangentAt = (angle: number): Vec3 => [-radius * Math.sin(angle), radius * Math.cos(angle), 0]
  for (let i = 0; i < 12; i++) {
    const seen = seenPoint(state, pointAt(alpha))
    if (!seen) return null
    const step = Math.max(-0.2, Math.min(0.2, alongCurve(seen, tangentAt(alpha), pick)))
    alpha += step
    if (Math.abs(step) * radius < settledMm) break
  }
  const point = pointAt(alpha)
  const seen = seenPoint(state, point)
  if (!seen) return null
  const facing = surfaceFaces(state, { theta: alpha, s: sOfAxial(state.surface, axial) }, point)
  return curveResidual(state, seen, point, tangentAt(alpha), pick, facing, radiusMovement(state.surface, at, alpha))
}

function measurePoint(state: FitState, pick: { u: number; v: number }, at: MapPoint): Measured | null {
  const point = surfacePoint(state.surface, at)
  const seen = seenPoint(state, point)
  if (!seen) return null
  return {
    residualsPx: [pick.u - seen.u, pick.v - seen.v],
    rows: [movementAlong(state, point, seen, -1, 0), movementAlong(state, point, seen, 0, -1)],
    nearest: { u: seen.u, v: seen.v },
    facing: surfaceFaces(state, at, point),
    axial: point[2],
  }
}

/** Gauss-Newton step along a curve with the given space tangent, towards the pick. */
function alongCurve(seen: SeenPoint, tangent: Vec3, pick: { u: number; v: number }): number {
  const [tu, tv] = inPicture(seen, tangent)
  const size = tu * tu + tv * tv
  return size > 0 ? (tu * (pick.u - seen.u) + tv * (pick.v - seen.v)) / size : 0
}

function curveResidual(
  state: FitState,
  seen: SeenPoint,
  point: Vec3,
  tangent: Vec3,
  pick: { u: number; v: number },
  facing: boolean,
  byRadii: { front: Vec3; rear: Vec3 } | null,
): Measured | null {
  const [tu, tv] = inPicture(seen, tangent)
  const size = Math.hypot(tu, tv)
  if (!(size > 0)) return null
  const nu = -tv / size
  const nv = tu / size
  const row = movementAlong(state, point, seen, -nu, -nv)
  if (byRadii) {
    const [fu, fv] = inPicture(seen, byRadii.front)
    const [ru, rv] = inPicture(seen, byRadii.rear)
    row[unknownIndex.frontRadius] = -(nu * fu + nv * fv)
    row[unknownIndex.rearRadius] = -(nu * ru + nv * rv)
  }
  return {
    residualsPx: [nu * (pick.u - seen.u) + nv * (pick.v - seen.v)],
    rows: [row],
    nearest: { u: seen.u, v: seen.v },
    facing,
    axial: point[2],
  }
}

function inPicture(seen: SeenPoint, d: Vec3): [number, number] {
  const a = seen.byDisplacement
  return [a[0] * d[0] + a[1] * d[1] + a[2] * d[2], a[3] * d[0] + a[4] * d[1] + a[5] * d[2]]
}

/** How a ring moves when the front or the rear fillet radius grows by 1 mm. */
function radiusMovement(surface: Surface, at: RingPlace, alpha: number): { front: Vec3; rear: Vec3 } {
  const still: Vec3 = [0, 0, 0]
  const outward: Vec3 = [Math.cos(alpha), Math.sin(alpha), 0]
  const front = surface.front.form === 'tangent'
  const rear = surface.rear.form === 'tangent'
  if (at === 'front-fillet') return { front: front ? [0, 0, 1] : still, rear: still }
  if (at === 'rear-fillet') return { front: still, rear: rear ? [0, 0, -1] : still }
  if (at === 'front-cheek') return { front: front ? outward : still, rear: still }
  if (at === 'rear-cheek') return { front: still, rear: rear ? outward : still }
  return { front: still, rear: still }
}

function surfaceFaces(state: FitState, at: MapPoint, point: Vec3): boolean {
  const normal = surfaceNormal(state.surface, at)
  const place = cameraPlace(state.camera)
  return normal[0] * (place[0] - point[0]) + normal[1] * (place[1] - point[1]) + normal[2] * (place[2] - point[2]) > 0
}

/** Axial place on the generator (x, y, .) that comes nearest to a ray in space: a start for the search in the picture. */
function nearestOnGenerator(x: number, y: number, origin: Vec3, direction: Vec3): number {
  const a = direction[0] ** 2 + direction[1] ** 2
  const t = a > 0 ? ((x - origin[0]) * direction[0] + (y - origin[1]) * direction[1]) / a : 0
  return origin[2] + t * direction[2]
}

/** Angle at which a ray meets (or comes nearest to) the cylinder of a ring, on the side of the camera. */
function startAngle(origin: Vec3, direction: Vec3, radius: number): number {
  const hit = nearCylinderHit(origin, direction, radius)
  const a = direction[0] ** 2 + direction[1] ** 2
  const t = hit ?? (a > 0 ? -(origin[0] * direction[0] + origin[1] * direction[1]) / a : 0)
  return Math.atan2(origin[1] + t * direction[1], origin[0] + t * direction[0])
}

function radians(degrees: number): number {
  return (degrees * Math.PI) / 180
}
