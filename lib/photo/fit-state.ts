/**
 * The unknowns of one photograph and how a point of the journal moves in the picture with each of them.
 *
 * A point X of the journal frame is seen at R (X - c + tau) + T with R = Q exp(omega): c is the middle of the
 * journal, Q and T the pose that the search set out from. omega_x, omega_y, tau_x, tau_y place the axis line,
 * omega_z is the roll about it and tau_z the slide along it.
 */
import { type Surface, withFilletRadii } from '../journal/surface'
import { apply, applyTransposed, cross, type Mat3, multiply, rotationOf, subtract, type Vec3 } from '../journal/vector'
import type { Camera, Sight } from './camera'

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
  /** The camera's centre in the journal frame, mm. */
  place: Vec3
  /**
   * Where the two generators of the apparent contour stand, (x, y) in mm: the one at the greater angle, then the other.
   * Their view planes touch the cylinder; null where the camera is not outside it.
   */
  contours: readonly [readonly [number, number], readonly [number, number]] | null
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
  const translation: Vec3 = [base.translation[0] + fromOrigin[0], base.translation[1] + fromOrigin[1], base.translation[2] + fromOrigin[2]]
  const place = applyTransposed(rotation, [-translation[0], -translation[1], -translation[2]])
  return {
    camera: {
      width: base.width,
      height: base.height,
      focalPx: base.focalPx * Math.exp(unknowns[6]),
      k1: base.k1 + unknowns[7],
      rotation,
      translation,
    },
    surface,
    turnAxes: rightJacobian(omega),
    centre,
    tau,
    place,
    contours: contourGenerators(place, surface.radius),
  }
}

/** cos(theta - theta_camera) = R / d: the tangents from the camera's foot to the circle. */
function contourGenerators([x, y]: Vec3, radius: number): FitState['contours'] {
  const distance = Math.sqrt(x * x + y * y)
  if (distance <= radius * 1.0001) return null
  const along = (radius * radius) / distance
  const across = radius * Math.sqrt(1 - (radius / distance) ** 2)
  const cos = x / distance
  const sin = y / distance
  return [
    [along * cos - across * sin, along * sin + across * cos],
    [along * cos + across * sin, along * sin - across * cos],
  ]
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

/**
 * How a place (journal frame) that is seen so moves along the picture direction (nu, nv) with each of the ten unknowns, in px,
 * written to `row` from `offset` on; the fillet radii are left 0. With w the turn axis and arm the lever, g . (w x arm) = w . (arm x g).
 */
export function writeMovement(
  state: FitState,
  x: number,
  y: number,
  z: number,
  sight: Sight,
  nu: number,
  nv: number,
  row: Float64Array,
  offset: number,
): void {
  const { rotation: r, width, height } = state.camera
  const a = (nu * sight[5] + nv * sight[6]) * sight[4]
  const b = (nu * sight[6] + nv * sight[7]) * sight[4]
  const c = -(a * sight[2] + b * sight[3])
  const gx = a * r[0] + b * r[3] + c * r[6]
  const gy = a * r[1] + b * r[4] + c * r[7]
  const gz = a * r[2] + b * r[5] + c * r[8]
  const ax = x - state.centre[0] + state.tau[0]
  const ay = y - state.centre[1] + state.tau[1]
  const az = z - state.centre[2] + state.tau[2]
  const mx = ay * gz - az * gy
  const my = az * gx - ax * gz
  const mz = ax * gy - ay * gx
  const first = state.turnAxes[0]
  const second = state.turnAxes[1]
  const third = state.turnAxes[2]
  row[offset] = first[0] * mx + first[1] * my + first[2] * mz
  row[offset + 1] = second[0] * mx + second[1] * my + second[2] * mz
  row[offset + 2] = gx
  row[offset + 3] = gy
  row[offset + 4] = third[0] * mx + third[1] * my + third[2] * mz
  row[offset + 5] = gz
  row[offset + 6] = nu * (sight[0] - width / 2) + nv * (sight[1] - height / 2)
  row[offset + 7] = sight[8] * (nu * sight[2] + nv * sight[3])
  row[offset + 8] = 0
  row[offset + 9] = 0
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
