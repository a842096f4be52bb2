/**
 * The unknowns of one photograph and how a point of the journal moves in the picture with each of them.
 *
 * A point X of the journal frame is seen at R (X - c + tau) + T with R = Q exp(omega): c is the middle of the
 * journal, Q and T the pose that the search set out from. omega_x, omega_y, tau_x, tau_y place the axis line,
 * omega_z is the roll about it and tau_z the slide along it.
 */
import { type Surface, withFilletRadii } from '../journal/surface'
import { apply, cross, dot, type Mat3, multiply, rotationOf, subtract, type Vec3 } from '../journal/vector'
import { type Camera, projectionOf } from './camera'

export const unknownNames = [
  'tiltX',
  'tiltY',
  'offsetX',
  'offsetY',
  'roll',
  'slide',
  'logFocal',
  'k1',
  'frontRadius',
  'rearRadius',
] as const
export type UnknownName = (typeof unknownNames)[number]
/** Index of each unknown in a full vector of ten. */
export const unknownIndex = Object.fromEntries(unknownNames.map((name, i) => [name, i])) as Record<UnknownName, number>
export const unknownCount = unknownNames.length

/** Where a search sets out from. `translation` places the middle of the journal in the camera frame. */
export type FitBase = {
  width: number
  height: number
  rotation: Mat3
  translation: Vec3
  focalPx: number
  k1: number
  surface: Surface
}

export type FitState = {
  camera: Camera
  surface: Surface
  /** For a displacement of omega's component k: column k of the right Jacobian of SO(3). */
  turnAxes: readonly [Vec3, Vec3, Vec3]
  centre: Vec3
  tau: Vec3
}

/** The state at a full vector of unknowns. */
export function stateAt(base: FitBase, unknowns: ArrayLike<number>): FitState {
  const omega: Vec3 = [unknowns[0], unknowns[1], unknowns[4]]
  const tau: Vec3 = [unknowns[2], unknowns[3], unknowns[5]]
  const rotation = multiply(base.rotation, rotationOf(omega))
  const centre: Vec3 = [0, 0, base.surface.width / 2]
  const fromOrigin = apply(rotation, subtract(tau, centre))
  const surface =
    unknowns[8] === 0 && unknowns[9] === 0
      ? base.surface
      : withFilletRadii(base.surface, base.surface.front.radius + unknowns[8], base.surface.rear.radius + unknowns[9])
  return {
    camera: {
      width: base.width,
      height: base.height,
      focalPx: base.focalPx * Math.exp(unknowns[6]),
      k1: base.k1 + unknowns[7],
      rotation,
      translation: [base.translation[0] + fromOrigin[0], base.translation[1] + fromOrigin[1], base.translation[2] + fromOrigin[2]],
    },
    surface,
    turnAxes: rightJacobian(omega),
    centre,
    tau,
  }
}

/** The base that describes a camera exactly, for a search or a covariance about it. */
export function baseOf(camera: Camera, surface: Surface): FitBase {
  const toMiddle = apply(camera.rotation, [0, 0, surface.width / 2])
  return {
    width: camera.width,
    height: camera.height,
    rotation: camera.rotation,
    translation: [camera.translation[0] + toMiddle[0], camera.translation[1] + toMiddle[1], camera.translation[2] + toMiddle[2]],
    focalPx: camera.focalPx,
    k1: camera.k1,
    surface,
  }
}

export type SeenPoint = {
  u: number
  v: number
  /** 2 x 3, row-major: movement in the picture by a displacement in the journal frame. */
  byDisplacement: readonly [number, number, number, number, number, number]
  byLogFocal: readonly [number, number]
  byK1: readonly [number, number]
}

/** A point of the journal frame in the picture, with its movement; null behind the camera. */
export function seenPoint({ camera }: FitState, point: Vec3): SeenPoint | null {
  const r = camera.rotation
  const t = camera.translation
  const seen = projectionOf(camera, [
    r[0] * point[0] + r[1] * point[1] + r[2] * point[2] + t[0],
    r[3] * point[0] + r[4] * point[1] + r[5] * point[2] + t[1],
    r[6] * point[0] + r[7] * point[1] + r[8] * point[2] + t[2],
  ])
  if (!seen) return null
  const g = seen.byPoint
  return {
    u: seen.u,
    v: seen.v,
    byDisplacement: [
      g[0] * r[0] + g[1] * r[3] + g[2] * r[6],
      g[0] * r[1] + g[1] * r[4] + g[2] * r[7],
      g[0] * r[2] + g[1] * r[5] + g[2] * r[8],
      g[3] * r[0] + g[4] * r[3] + g[5] * r[6],
      g[3] * r[1] + g[4] * r[4] + g[5] * r[7],
      g[3] * r[2] + g[4] * r[5] + g[5] * r[8],
    ],
    byLogFocal: seen.byLogFocal,
    byK1: seen.byK1,
  }
}

/**
 * How a seen point moves along the picture direction (nu, nv) with each of the ten unknowns, in px; the fillet radii
 * are left 0. With w the turn axis and arm the lever, g . (w x arm) = w . (arm x g).
 */
export function movementAlong(state: FitState, point: Vec3, seen: SeenPoint, nu: number, nv: number): Float64Array {
  const a = seen.byDisplacement
  const g: Vec3 = [nu * a[0] + nv * a[3], nu * a[1] + nv * a[4], nu * a[2] + nv * a[5]]
  const arm: Vec3 = [
    point[0] - state.centre[0] + state.tau[0],
    point[1] - state.centre[1] + state.tau[1],
    point[2] - state.centre[2] + state.tau[2],
  ]
  const moment = cross(arm, g)
  const row = new Float64Array(unknownCount)
  row[0] = dot(state.turnAxes[0], moment)
  row[1] = dot(state.turnAxes[1], moment)
  row[2] = g[0]
  row[3] = g[1]
  row[4] = dot(state.turnAxes[2], moment)
  row[5] = g[2]
  row[6] = nu * seen.byLogFocal[0] + nv * seen.byLogFocal[1]
  row[7] = nu * seen.byK1[0] + nv * seen.byK1[1]
  return row
}

/** Columns of J_r(w) = I - (1 - cos t)/t^2 [w]x + (t - sin t)/t^3 [w]x^2, t = |w|. */
function rightJacobian(w: Vec3): [Vec3, Vec3, Vec3] {
  const t = Math.hypot(w[0], w[1], w[2])
  const a = t < 1e-5 ? 0.5 : (1 - Math.cos(t)) / (t * t)
  const b = t < 1e-3 ? 1 / 6 : (t - Math.sin(t)) / (t * t * t)
  const column = (e: Vec3): Vec3 => {
    const once = cross(w, e)
    const twice = cross(w, once)
    return [e[0] - a * once[0] + b * twice[0], e[1] - a * once[1] + b * twice[1], e[2] - a * once[2] + b * twice[2]]
  }
  return [column([1, 0, 0]), column([0, 1, 0]), column([0, 0, 1])]
}
