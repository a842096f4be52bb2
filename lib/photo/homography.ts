/**
 * Homography between a flat thing, in mm, and its picture, in px. Start by the direct linear transformation in coordinates that are shifted and
 * scaled to the points' own size (R. Hartley, "In defense of the eight-point algorithm", 1997); then the reprojection error in px is minimised
 * (R. Hartley and A. Zisserman, "Multiple View Geometry", algorithm 4.3), with the covariance that the picks leave.
 */
import type { Mat3 } from '../journal/vector'
import { multiply } from '../journal/vector'
import { done, failed, type Result } from '../model/result'
import { minimise } from './levenberg-marquardt'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

export type FlatPoint = { x: number; y: number }
export type PlanePair = { flat: FlatPoint; pixel: FlatPoint }

/** `matrix` maps flat to px: (u, v, 1) ~ matrix (x, y, 1). `covariance`: 8 x 8 of the scaled entries, for picks of 1 px. */
export type PlaneFit = { matrix: Mat3; residualsPx: number[]; rmsPx: number; covariance: Float64Array }

/** `too-few`: under four. `on-a-line`: four or more, but three of every four nearly on one line. */
export type PlaneFailure = { code: 'too-few'; have: number } | { code: 'on-a-line' }

/** The scaled form: coordinates about the points' middle, of their own size, and the last entry of the matrix 1. */
export type ScaledPlane = { toFlat: Scaling; toPixel: Scaling; entries: Float64Array }
export type Scaling = { x: number; y: number; size: number }

export function fitHomography(pairs: readonly PlanePair[]): Result<PlaneFit, PlaneFailure> {
  const start = startHomography(pairs)
  if (!start.ok) return start
  const { toFlat, toPixel } = start.value
  const solved = minimise(
    {
      linearise(parameters) {
        const residuals = new Float64Array(2 * pairs.length)
        const jacobian = new Float64Array(16 * pairs.length)
        for (const [i, { flat, pixel }] of pairs.entries()) {
          const at = projected(parameters, scaledPoint(toFlat, flat))
          if (!at) return null
          const wanted = scaledPoint(toPixel, pixel)
          residuals[2 * i] = (at.u - wanted.x) * toPixel.size
          residuals[2 * i + 1] = (at.v - wanted.y) * toPixel.size
          for (let k = 0; k < 8; k++) {
            jacobian[16 * i + k] = at.byEntries[0][k] * toPixel.size
            jacobian[16 * i + 8 + k] = at.byEntries[1][k] * toPixel.size
          }
        }
        return { residuals, jacobian }
      },
    },
    start.value.entries,
  )
  if (!solved) return failed({ code: 'on-a-line' })
  const covariance = inverseOfPositiveDefinite(normalMatrix(solved.linearisation.jacobian, 8), 8)
  if (!covariance) return failed({ code: 'on-a-line' })
  const { residuals } = solved.linearisation
  return done({
    matrix: matrixOf({ toFlat, toPixel, entries: solved.parameters }),
    residualsPx: pairs.map((_, i) => Math.hypot(residuals[2 * i], residuals[2 * i + 1])),
    rmsPx: Math.sqrt(residuals.reduce((sum, r) => sum + r * r, 0) / residuals.length),
    covariance,
  })
}

/** By the direct linear transformation. */
export function startHomography(pairs: readonly PlanePair[]): Result<ScaledPlane, PlaneFailure> {
  if (pairs.length < 4) return failed({ code: 'too-few', have: pairs.length })
  const toFlat = scalingOf(pairs.map(({ flat }) => flat))
  const toPixel = scalingOf(pairs.map(({ pixel }) => pixel))
  if (!toFlat || !toPixel) return failed({ code: 'on-a-line' })
  const normal = new Float64Array(64)
  const right = new Float64Array(8)
  for (const { flat, pixel } of pairs) {
    const { x, y } = scaledPoint(toFlat, flat)
    const { x: u, y: v } = scaledPoint(toPixel, pixel)
    const rows: [number[], number][] = [
      [[x, y, 1, 0, 0, 0, -u * x, -u * y], u],
      [[0, 0, 0, x, y, 1, -v * x, -v * y], v],
    ]
    for (const [row, value] of rows)
      for (let i = 0; i < 8; i++) {
        right[i] += row[i] * value
        for (let j = 0; j < 8; j++) normal[8 * i + j] += row[i] * row[j]
      }
  }
  const inverse = inverseOfPositiveDefinite(normal, 8, leastPivot)
  if (!inverse) return failed({ code: 'on-a-line' })
  const entries = Float64Array.from({ length: 8 }, (_, i) => right.reduce((sum, value, j) => sum + inverse[8 * i + j] * value, 0))
  return done({ toFlat, toPixel, entries })
}

/** Under this a scaled pivot says that the points leave the homography open. */
const leastPivot = 1e-9

/** Where a flat place is seen, scaled, and how that moves with the eight entries and with the place; null behind the camera. */
export function projected(
  entries: ArrayLike<number>,
  { x, y }: FlatPoint,
): { u: number; v: number; byEntries: [Float64Array, Float64Array]; byPlace: [number, number, number, number] } | null {
  const w = entries[6] * x + entries[7] * y + 1
  if (w < 1e-6) return null
  const u = (entries[0] * x + entries[1] * y + entries[2]) / w
  const v = (entries[3] * x + entries[4] * y + entries[5]) / w
  return {
    u,
    v,
    byEntries: [
      Float64Array.of(x / w, y / w, 1 / w, 0, 0, 0, (-u * x) / w, (-u * y) / w),
      Float64Array.of(0, 0, 0, x / w, y / w, 1 / w, (-v * x) / w, (-v * y) / w),
    ],
    byPlace: [
      (entries[0] - u * entries[6]) / w,
      (entries[1] - u * entries[7]) / w,
      (entries[3] - v * entries[6]) / w,
      (entries[4] - v * entries[7]) / w,
    ],
  }
}

export function scaledPoint({ x, y, size }: Scaling, point: FlatPoint): FlatPoint {
  return { x: (point.x - x) / size, y: (point.y - y) / size }
}

export function unscaledPoint({ x, y, size }: Scaling, point: FlatPoint): FlatPoint {
  return { x: point.x * size + x, y: point.y * size + y }
}

/** The homography applied; null where the place lies on or beyond the horizon. */
export function throughHomography(m: Mat3, { x, y }: FlatPoint): FlatPoint | null {
  const w = m[6] * x + m[7] * y + m[8]
  if (!(w > 1e-12)) return null
  return { x: (m[0] * x + m[1] * y + m[2]) / w, y: (m[3] * x + m[4] * y + m[5]) / w }
}

/** The inverse; its denominator keeps the sign that the matrix's own has. Null where there is none. */
export function inverseHomography(m: Mat3): Mat3 | null {
  const c = [
    m[4] * m[8] - m[5] * m[7],
    m[2] * m[7] - m[1] * m[8],
    m[1] * m[5] - m[2] * m[4],
    m[5] * m[6] - m[3] * m[8],
    m[0] * m[8] - m[2] * m[6],
    m[2] * m[3] - m[0] * m[5],
    m[3] * m[7] - m[4] * m[6],
    m[1] * m[6] - m[0] * m[7],
    m[0] * m[4] - m[1] * m[3],
  ]
  const determinant = determinantOf(m)
  if (determinant === 0) return null
  return c.map((value) => value / determinant) as unknown as Mat3
}

export function determinantOf(m: Mat3): number {
  return m[0] * (m[4] * m[8] - m[5] * m[7]) + m[1] * (m[5] * m[6] - m[3] * m[8]) + m[2] * (m[3] * m[7] - m[4] * m[6])
}

/** Unscaled; positive in its denominator over the points. */
export function matrixOf({ toFlat, toPixel, entries: e }: ScaledPlane): Mat3 {
  const scaled: Mat3 = [e[0], e[1], e[2], e[3], e[4], e[5], e[6], e[7], 1]
  const back: Mat3 = [toPixel.size, 0, toPixel.x, 0, toPixel.size, toPixel.y, 0, 0, 1]
  const shrink: Mat3 = [1 / toFlat.size, 0, -toFlat.x / toFlat.size, 0, 1 / toFlat.size, -toFlat.y / toFlat.size, 0, 0, 1]
  return multiply(multiply(back, scaled), shrink)
}

/** J'J of a row-major m x n Jacobian. */
export function normalMatrix(jacobian: Float64Array, n: number): Float64Array {
  const normal = new Float64Array(n * n)
  for (let row = 0; row < jacobian.length; row += n)
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) normal[i * n + j] += jacobian[row + i] * jacobian[row + j]
  return normal
}

/** About the mean, mean distance sqrt 2. */
function scalingOf(points: readonly FlatPoint[]): Scaling | null {
  const mean = (of: (point: FlatPoint) => number) => points.reduce((sum, point) => sum + of(point), 0) / points.length
  const x = mean((point) => point.x)
  const y = mean((point) => point.y)
  const size = mean((point) => Math.hypot(point.x - x, point.y - y)) / Math.SQRT2
  return size > 0 ? { x, y, size } : null
}
