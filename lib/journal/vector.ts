/** Vectors of three numbers and row-major 3x3 matrices. */
export type Vec3 = readonly [number, number, number]
/** Row-major. */
export type Mat3 = readonly [number, number, number, number, number, number, number, number, number]

export const identity3: Mat3 = [1, 0, 0, 0, 1, 0, 0, 0, 1]

export function add(a: Vec3, b: Vec3): Vec3 {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

export function subtract(a: Vec3, b: Vec3): Vec3 {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

export function scale(a: Vec3, k: number): Vec3 {
  return [a[0] * k, a[1] * k, a[2] * k]
}

export function dot(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

export function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

export function norm(a: Vec3): number {
  return Math.hypot(a[0], a[1], a[2])
}

export function unit(a: Vec3): Vec3 {
  return scale(a, 1 / norm(a))
}

export function apply(m: Mat3, a: Vec3): Vec3 {
  return [m[0] * a[0] + m[1] * a[1] + m[2] * a[2], m[3] * a[0] + m[4] * a[1] + m[5] * a[2], m[6] * a[0] + m[7] * a[1] + m[8] * a[2]]
}

/** The transpose applied: for a rotation, its inverse. */
export function applyTransposed(m: Mat3, a: Vec3): Vec3 {
  return [m[0] * a[0] + m[3] * a[1] + m[6] * a[2], m[1] * a[0] + m[4] * a[1] + m[7] * a[2], m[2] * a[0] + m[5] * a[1] + m[8] * a[2]]
}

export function multiply(a: Mat3, b: Mat3): Mat3 {
  const row = (i: number): Vec3 => [
    a[3 * i] * b[0] + a[3 * i + 1] * b[3] + a[3 * i + 2] * b[6],
    a[3 * i] * b[1] + a[3 * i + 1] * b[4] + a[3 * i + 2] * b[7],
    a[3 * i] * b[2] + a[3 * i + 1] * b[5] + a[3 * i + 2] * b[8],
  ]
  return [...row(0), ...row(1), ...row(2)]
}

/** Rotation by the vector's length about its direction (Rodrigues). */
export function rotationOf(w: Vec3): Mat3 {
  const angle = norm(w)
  if (angle < 1e-300) return identity3
  const [x, y, z] = scale(w, 1 / angle)
  const c = Math.cos(angle)
  const s = Math.sin(angle)
  const t = 1 - c
  return [
    t * x * x + c,
    t * x * y - s * z,
    t * x * z + s * y,
    t * x * y + s * z,
    t * y * y + c,
    t * y * z - s * x,
    t * x * z - s * y,
    t * y * z + s * x,
    t * z * z + c,
  ]
}
