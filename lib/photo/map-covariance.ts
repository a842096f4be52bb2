/**
 * How far the map coordinates of pixels are uncertain, together: the fit's covariance shared by all vertices, the
 * pick's own noise for each. From X(theta, s) seen at p: d(theta, s) = M^-1 (dp - (dp/dunknowns) dunknowns), with M the
 * movement in the picture by the map coordinates (implicit function theorem; GUM, JCGM 100:2008, 5.2 for the propagation).
 */
import { type MapPoint, meridianTangent, radiusAt, type Surface, surfacePoint, withFilletRadii } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import { type Camera, emptySight, look } from './camera'
import { baseOf, type FitState, stateAt, unknownCount, unknownIndex, writeMovement } from './fit-state'

/** Coordinates are (R theta, s) in mm; `byUnknowns` is 2 rows of the fit's k unknowns, `byPixel` 2 x 2 row-major. */
export type MapJacobian = { byUnknowns: [Float64Array, Float64Array]; byPixel: [number, number, number, number] }

export type FittedCamera = { camera: Camera; surface: Surface; unknowns: readonly number[]; covariance: Float64Array }

/** Null where the view is so flat that the map coordinates are not determined. */
export function mapJacobian(fit: FittedCamera, at: MapPoint): MapJacobian | null {
  return mapJacobianAt(stateAt(baseOf(fit.camera, fit.surface), new Float64Array(unknownCount)), fit.unknowns, at)
}

/** The same at any state of a search. */
export function mapJacobianAt(state: FitState, unknowns: readonly number[], at: MapPoint): MapJacobian | null {
  const { surface } = state
  const point = surfacePoint(surface, at)
  const sight = emptySight()
  if (!look(state.camera, ...point, sight)) return null
  const by = new Float64Array(2 * unknownCount)
  writeMovement(state, ...point, sight, 1, 0, by, 0)
  writeMovement(state, ...point, sight, 0, 1, by, unknownCount)
  const rho = radiusAt(surface, at.s)
  const [dRho, dZ] = meridianTangent(surface, at.s)
  const cos = Math.cos(at.theta)
  const sin = Math.sin(at.theta)
  // per mm of R theta, and per mm of s
  const around: Vec3 = [(-rho * sin) / surface.radius, (rho * cos) / surface.radius, 0]
  const along: Vec3 = [dRho * cos, dRho * sin, dZ]
  // a displacement of the journal moves what is seen as the unknowns' offsets do: x, y and slide
  const move = (d: Vec3): [number, number] => [
    by[2] * d[0] + by[3] * d[1] + by[5] * d[2],
    by[unknownCount + 2] * d[0] + by[unknownCount + 3] * d[1] + by[unknownCount + 5] * d[2],
  ]
  const [m00, m10] = move(around)
  const [m01, m11] = move(along)
  const determinant = m00 * m11 - m01 * m10
  if (Math.abs(determinant) < 1e-6) return null
  const byPixel: MapJacobian['byPixel'] = [m11 / determinant, -m01 / determinant, -m10 / determinant, m00 / determinant]
  const rows: [Float64Array, Float64Array] = [new Float64Array(unknowns.length), new Float64Array(unknowns.length)]
  unknowns.forEach((slot, k) => {
    const [du, dv] = slot >= unknownIndex.frontRadius ? move(radiusMovement(surface, at, slot)) : [by[slot], by[unknownCount + slot]]
    rows[0][k] = -(byPixel[0] * du + byPixel[1] * dv)
    rows[1][k] = -(byPixel[2] * du + byPixel[3] * dv)
  })
  return { byUnknowns: rows, byPixel }
}

/**
 * Joint covariance of N vertices picked with `pickSigmaPx`, plus the two fillet radii: (2N + 2) x (2N + 2), row-major,
 * in mm^2, ordered R theta_1, s_1, ..., R theta_N, s_N, r_front, r_rear. Null where a vertex is not determined.
 */
export function verticesCovariance(fit: FittedCamera, vertices: readonly MapPoint[], pickSigmaPx: number): Float64Array | null {
  const size = 2 * vertices.length + 2
  const k = fit.unknowns.length
  const rows: Float64Array[] = []
  const own: [number, number, number][] = []
  for (const vertex of vertices) {
    const jacobian = mapJacobian(fit, vertex)
    if (!jacobian) return null
    rows.push(...jacobian.byUnknowns)
    const [a, b, c, d] = jacobian.byPixel
    const v = pickSigmaPx ** 2
    own.push([v * (a * a + b * b), v * (a * c + b * d), v * (c * c + d * d)])
  }
  for (const slot of [unknownIndex.frontRadius, unknownIndex.rearRadius]) {
    const row = new Float64Array(k)
    const place = fit.unknowns.indexOf(slot)
    if (place >= 0) row[place] = 1
    rows.push(row)
  }
  const half = rows.map((row) => {
    const product = new Float64Array(k)
    for (let j = 0; j < k; j++) for (let i = 0; i < k; i++) product[j] += row[i] * fit.covariance[i * k + j]
    return product
  })
  const covariance = new Float64Array(size * size)
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      let sum = 0
      for (let u = 0; u < k; u++) sum += half[i][u] * rows[j][u]
      covariance[i * size + j] = sum
    }
  }
  own.forEach(([aroundVariance, mixed, alongVariance], i) => {
    covariance[2 * i * size + 2 * i] += aroundVariance
    covariance[2 * i * size + 2 * i + 1] += mixed
    covariance[(2 * i + 1) * size + 2 * i] += mixed
    covariance[(2 * i + 1) * size + 2 * i + 1] += alongVariance
  })
  return covariance
}

/** Movement of a place of fixed (theta, s) when a fillet radius grows by 1 mm. */
function radiusMovement(surface: Surface, at: MapPoint, slot: number): Vec3 {
  const step = 1e-4
  const front = slot === unknownIndex.frontRadius ? step : 0
  const rear = slot === unknownIndex.rearRadius ? step : 0
  const plus = surfacePoint(withFilletRadii(surface, surface.front.radius + front, surface.rear.radius + rear), at)
  const minus = surfacePoint(withFilletRadii(surface, surface.front.radius - front, surface.rear.radius - rear), at)
  return [(plus[0] - minus[0]) / (2 * step), (plus[1] - minus[1]) / (2 * step), (plus[2] - minus[2]) / (2 * step)]
}
