/**
 * One row of the map (constant s) as a camera sees it. On such a circle the place in the camera's frame, the part of the view along the
 * normal, the squared distance and the squared radius where the view crosses a cheek plane are each a + b cos(theta) + c sin(theta); the
 * constants are worked out once a row, after which a point costs a few products. What is hidden by a cheek: the view from the point to the
 * camera crosses the cheek plane nearer to the axis than the end's edge there (R + r for a quarter torus, otherwise R). A point of a fillet can
 * face the camera from the far side: then the journal itself hides it, which is found by walking along the view.
 */
import { axialOfS, meridianTangent, radiusAt, type Surface } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import { type Camera, cameraPlace } from './camera'

/** Filled by `viewPoint`. */
export type PointView = {
  u: number
  v: number
  /** Along the line of sight, mm. */
  depth: number
  /** Cosine of the angle between the view and the surface's normal. */
  cosIncidence: number
  /** How far outside the hiding edge the view crosses the cheek plane, mm; negative: hidden; infinite where it crosses none. */
  cheekMargin: number
}

export type RowView = {
  camera: Camera
  inCamera: Float64Array
  facing: Float64Array
  squareDistance: Float64Array
  /** Squared radius of the crossing, and the edge's radius; null where the camera stands between the cheek planes. */
  crossing: Float64Array | null
  edgeRadius: number
  surface: Surface
  s: number
  place: { rho: number; z: number }
  cameraAt: Vec3
}

export function rowView(surface: Surface, camera: Camera, s: number): RowView {
  const m = camera.rotation
  const t = camera.translation
  const z = axialOfS(surface, s)
  const rho = radiusAt(surface, s)
  const [dRho, dZ] = meridianTangent(surface, s)
  const c = cameraPlace(camera)
  const inCamera = new Float64Array(9)
  for (let i = 0; i < 3; i++) {
    inCamera[3 * i] = m[3 * i + 2] * z + t[i]
    inCamera[3 * i + 1] = m[3 * i] * rho
    inCamera[3 * i + 2] = m[3 * i + 1] * rho
  }
  const facing = Float64Array.of(-dZ * rho - dRho * (c[2] - z), dZ * c[0], dZ * c[1])
  const squareDistance = Float64Array.of(c[0] ** 2 + c[1] ** 2 + rho ** 2 + (c[2] - z) ** 2, -2 * rho * c[0], -2 * rho * c[1])
  const end = c[2] < 0 ? surface.front : c[2] > surface.width ? surface.rear : null
  const share = end === null ? 0 : c[2] < 0 ? z / (z - c[2]) : (surface.width - z) / (c[2] - z)
  const both = 2 * share * (1 - share) * rho
  const crossing = end && Float64Array.of(((1 - share) * rho) ** 2 + share ** 2 * (c[0] ** 2 + c[1] ** 2), both * c[0], both * c[1])
  return {
    camera,
    inCamera,
    facing,
    squareDistance,
    crossing,
    edgeRadius: surface.radius + (end?.radius ?? 0),
    surface,
    s,
    place: { rho, z },
    cameraAt: c,
  }
}

/** Views the point of the row at the angle with this cosine and sine. False where it faces away, is hidden by the journal, lies behind the camera or in the lens's fold. */
export function viewPoint(row: RowView, cos: number, sin: number, out: PointView): boolean {
  const f = row.facing
  if (f[0] + f[1] * cos + f[2] * sin <= 0) return false
  if (row.place.rho > row.surface.radius && hiddenByJournal(row, cos, sin)) return false
  return projectPoint(row, cos, sin, out)
}

/** The same whatever hides the point: facing away shows as a cosine of 0 or less. False only behind the camera or in the lens's fold. */
export function projectPoint(row: RowView, cos: number, sin: number, out: PointView): boolean {
  const f = row.facing
  const facing = f[0] + f[1] * cos + f[2] * sin
  const p = row.inCamera
  const depth = p[6] + p[7] * cos + p[8] * sin
  if (depth <= 1e-9) return false
  const camera = row.camera
  const x = (p[0] + p[1] * cos + p[2] * sin) / depth
  const y = (p[3] + p[4] * cos + p[5] * sin) / depth
  const square = x * x + y * y
  if (1 + 3 * camera.k1 * square <= 0) return false
  const k = camera.focalPx * (1 + camera.k1 * square)
  out.u = camera.width / 2 + k * x
  out.v = camera.height / 2 + k * y
  out.depth = depth
  const d = row.squareDistance
  out.cosIncidence = facing / Math.sqrt(d[0] + d[1] * cos + d[2] * sin)
  const q = row.crossing
  out.cheekMargin = q === null ? Number.POSITIVE_INFINITY : Math.sqrt(Math.max(0, q[0] + q[1] * cos + q[2] * sin)) - row.edgeRadius
  return true
}

const walkSteps = 10

/** Whether the view from a fillet's point to the camera runs back into the metal: only where it first comes nearer to the axis. */
export function hiddenByJournal({ surface, place, cameraAt }: RowView, cos: number, sin: number): boolean {
  const { rho, z } = place
  const dx = cameraAt[0] - rho * cos
  const dy = cameraAt[1] - rho * sin
  const dz = cameraAt[2] - z
  const inward = rho * (cos * dx + sin * dy)
  if (inward >= 0) return false
  const square = dx * dx + dy * dy
  const nearest = Math.min(1, -inward / square)
  const squareRadius = (t: number) => rho * rho + 2 * t * inward + t * t * square
  // beyond twice the nearest approach the view is further out than where it started
  const atNearest = z + nearest * dz
  if (atNearest > 0 && atNearest < surface.width && squareRadius(nearest) < edgeRadiusAt(surface, atNearest) ** 2) return true
  for (let k = 1; k <= walkSteps; k++) {
    const t = (Math.min(1, 2 * nearest) * k) / (walkSteps + 1)
    const axial = z + t * dz
    if (axial > 0 && axial < surface.width && squareRadius(t) < edgeRadiusAt(surface, axial) ** 2) return true
  }
  return false
}

/** Radius of the metal at an axial place between the cheeks, mm. */
function edgeRadiusAt({ radius, width, front, rear }: Surface, axial: number): number {
  if (axial < front.radius) return radius + front.radius - Math.sqrt(axial * (2 * front.radius - axial))
  const fromRear = width - axial
  return fromRear < rear.radius ? radius + rear.radius - Math.sqrt(fromRear * (2 * rear.radius - fromRear)) : radius
}

export function emptyPointView(): PointView {
  return { u: 0, v: 0, depth: 1, cosIncidence: 0, cheekMargin: 0 }
}
