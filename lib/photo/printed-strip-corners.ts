/**
 * Corners of the strip's codes against what camera and strip predict: residuals that are independent and of unit deviation,
 * with their derivatives.
 */
import type { PhotoPoint } from './camera'
import type { FitState } from './fit-state'
import { markerCorners } from './printed-strip-design'
import { inPicture, placementCount, seenPlace, type StripPlacement, type StripSeat, wrappedPoint } from './printed-strip-wrap'

/** A code seen: its place along the strip and its corners in the photograph. */
export type SeenMarker = { place: number; corners: readonly PhotoPoint[] }

/** How the strip lies, and how far each code lies beyond its wanted place along it, mm, by that place; none where it is not there. */
export type StripLie = { placement: StripPlacement; shifts: ReadonlyMap<number, number> }

/** Noise of a found corner by itself: of the picture, px, and of the paper, mm. */
const cornerNoise = { px: 0.15, mm: 0.003 } as const
/** Of a whole code's place across the strip, mm: the paper does not run quite straight. */
const acrossNoiseMm = 0.004
/**
 * Of a whole code's place along the strip, mm: the printer rounds it to its dots of 1/600 inch, even within one. All
 * photographs see one print, so that this is an unknown of the strip and no noise of theirs.
 */
export const shiftSigmaMm = 25.4 / 600 / Math.sqrt(12)

/** Whitened residuals of one code's corners. `byShared`: by the four of the placement, then by the code's own shift. */
export type MarkerResidual = { residual: number; full: Float64Array; byShared: Float64Array; byGrowth: number }[]

/** One list a code: eight residuals; null where a corner lies behind the camera. */
export function markerResiduals(
  seat: StripSeat,
  photo: { markers: readonly SeenMarker[]; noise: number },
  state: FitState,
  growth: number,
  lie: StripLie,
): (MarkerResidual | null)[] {
  return photo.markers.map((marker) => markerResidual(seat, marker, photo.noise, state, growth, lie))
}

function markerResidual(
  seat: StripSeat,
  { place, corners }: SeenMarker,
  noise: number,
  state: FitState,
  growth: number,
  { placement, shifts }: StripLie,
): MarkerResidual | null {
  const rows: MarkerResidual = []
  const moves: [[number, number], [number, number]][] = []
  const shift = shifts.get(place) ?? 0
  for (const [i, { x, y }] of markerCorners(seat.design, place, growth).entries()) {
    const wrapped = wrappedPoint(seat, placement, { x: x + shift, y })
    const seen = seenPlace(state, wrapped.point)
    if (!seen) return null
    const byX = inPicture(seen, wrapped.byX)
    const byY = inPicture(seen, wrapped.byY)
    const placing = wrapped.byPlacement.map((d) => inPicture(seen, d))
    const outX = i === 0 || i === 3 ? -1 : 1
    const outY = i < 2 ? 1 : -1
    for (const axis of [0, 1] as const) {
      const byShared = new Float64Array(placementCount + 1)
      for (let k = 0; k < placementCount; k++) byShared[k] = -placing[k][axis]
      byShared[placementCount] = -byX[axis]
      rows.push({
        residual: axis === 0 ? corners[i].u - seen.u : corners[i].v - seen.v,
        full: (axis === 0 ? seen.uBy : seen.vBy).map((value) => -value),
        byShared,
        byGrowth: -(outX * byX[axis] + outY * byY[axis]),
      })
    }
    moves.push([byX, byY])
  }
  whiten(rows, moves, noise, shifts.has(place) ? 0 : shiftSigmaMm)
  return rows
}

/**
 * Divides by the lower Cholesky factor of the corners' covariance: each its own noise in the picture and on the paper, all
 * four together how far the code lies off across the strip, and along it where its shift is not known yet.
 */
function whiten(rows: MarkerResidual, moves: readonly [[number, number], [number, number]][], noise: number, alongMm: number): void {
  const n = rows.length
  const own = (cornerNoise.px * noise) ** 2
  const paper = (cornerNoise.mm * noise) ** 2
  const l = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const [xi, yi] = [moves[i >> 1][0][i & 1], moves[i >> 1][1][i & 1]]
    for (let j = 0; j <= i; j++) {
      const [xj, yj] = [moves[j >> 1][0][j & 1], moves[j >> 1][1][j & 1]]
      let sum = acrossNoiseMm ** 2 * yi * yj + alongMm ** 2 * xi * xj
      if (i >> 1 === j >> 1) sum += paper * (xi * xj + yi * yj)
      if (i === j) sum += own
      for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k]
      l[i * n + j] = i === j ? Math.sqrt(sum) : sum / l[j * n + j]
    }
  }
  for (let i = 0; i < n; i++) {
    const row = rows[i]
    for (let k = 0; k < i; k++) {
      const factor = l[i * n + k]
      const before = rows[k]
      row.residual -= factor * before.residual
      row.byGrowth -= factor * before.byGrowth
      for (let j = 0; j < row.full.length; j++) row.full[j] -= factor * before.full[j]
      for (let j = 0; j < row.byShared.length; j++) row.byShared[j] -= factor * before.byShared[j]
    }
    const scale = 1 / l[i * n + i]
    row.residual *= scale
    row.byGrowth *= scale
    for (let j = 0; j < row.full.length; j++) row.full[j] *= scale
    for (let j = 0; j < row.byShared.length; j++) row.byShared[j] *= scale
  }
}
