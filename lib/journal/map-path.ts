/**
 * A polyline on the map as the metal sees it: lengths with the true radius, dl^2 = ds^2 + rho(s)^2 dtheta^2, and
 * directions as axial (undirected) data by doubled angles (Fisher, Statistical Analysis of Circular Data, 1993).
 * A segment is straight on the map; where it crosses a quarter torus its metric changes, so it is integrated there.
 */
import type { MapPoint, Surface } from './surface'
import { radiusAt } from './surface'

/** A stretch of path: its length, and the integrals of cos 2a and sin 2a over it (a = angle to the shaft axis). */
export type PathPiece = { length: number; cos2: number; sin2: number }

/** The pieces of a polyline in order; segments are cut at the tangent lines and finely inside the fillets. */
export function pathPieces(surface: Surface, vertices: readonly MapPoint[]): PathPiece[] {
  const pieces: PathPiece[] = []
  for (let i = 1; i < vertices.length; i++) addSegment(surface, vertices[i - 1], vertices[i], pieces)
  return pieces
}

export type Direction = {
  /** Signed angle to the shaft axis, radians in (-pi/2, pi/2]; null where the directions cancel out or there is no length. */
  angle: number | null
  /** Mean resultant length, 0..1. */
  resultant: number
  length: number
}

/** Mean direction over path length. */
export function meanDirection(pieces: readonly PathPiece[]): Direction {
  let length = 0
  let cos2 = 0
  let sin2 = 0
  for (const piece of pieces) {
    length += piece.length
    cos2 += piece.cos2
    sin2 += piece.sin2
  }
  const size = Math.hypot(cos2, sin2)
  const resultant = length > 0 ? Math.min(1, size / length) : 0
  return { angle: resultant > 1e-9 ? halfAngle(cos2, sin2) : null, resultant, length }
}

/**
 * The mean direction, unsigned, of the one stretch of the given length whose direction comes nearest to 45 degrees;
 * of the whole path if that is shorter. Radians; null for a path without length.
 *
 * The doubled-angle sum of a sliding window is linear between breakpoints, so its angle is monotone there: the
 * extremes lie at breakpoints, or where the sum's cosine part passes through zero, which is 45 degrees exactly.
 */
export function worstStretchAngle(pieces: readonly PathPiece[], stretch: number): number | null {
  const whole = meanDirection(pieces)
  if (whole.length <= 0) return null
  if (whole.length <= stretch) return whole.angle === null ? Math.PI / 4 : Math.abs(whole.angle)
  const sums = cumulative(pieces)
  let worst: number | null = null
  let previous: [number, number] | null = null
  for (const start of windowStarts(sums.at, whole.length, stretch)) {
    const [c0, s0] = sumAt(sums, start)
    const [c1, s1] = sumAt(sums, start + stretch)
    const window: [number, number] = [c1 - c0, s1 - s0]
    if (previous && passesDiagonal(previous, window, noDirection * stretch)) return Math.PI / 4
    previous = window
    const angle = Math.abs(0.5 * Math.atan2(window[1], window[0]))
    if (worst === null || Math.abs(angle - Math.PI / 4) < Math.abs(worst - Math.PI / 4)) worst = angle
  }
  return worst
}

/** A window whose resultant is under this has no direction: along and around by equal parts, exactly. */
const noDirection = 1e-6

/** Does the doubled-angle sum pass through cos = 0, at 45 degrees, on its straight way between two windows? */
function passesDiagonal(from: [number, number], to: [number, number], least: number): boolean {
  if (from[0] === 0 || Math.sign(from[0]) === Math.sign(to[0])) return false
  const t = from[0] / (from[0] - to[0])
  return Math.abs(from[1] + t * (to[1] - from[1])) > least
}

/** The pieces of the last `stretch` mm of a path (of its first, if `fromStart`). */
export function endPieces(pieces: readonly PathPiece[], stretch: number, fromStart: boolean): PathPiece[] {
  const ordered = fromStart ? pieces : [...pieces].reverse()
  const taken: PathPiece[] = []
  let left = stretch
  for (const piece of ordered) {
    if (left <= 0) break
    const share = piece.length <= left ? 1 : left / piece.length
    taken.push({ length: piece.length * share, cos2: piece.cos2 * share, sin2: piece.sin2 * share })
    left -= piece.length
  }
  return taken
}

/** Half of a doubled angle, radians in (-pi/2, pi/2]. */
export function halfAngle(cos2: number, sin2: number): number {
  const angle = 0.5 * Math.atan2(sin2, cos2)
  return angle <= -Math.PI / 2 ? Math.PI / 2 : angle
}

/** Difference of two axial angles, radians in (-pi/2, pi/2]. */
export function axialDifference(a: number, b: number): number {
  const difference = a - b
  return difference - Math.PI * Math.ceil(difference / Math.PI - 0.5)
}

/** A torus stretch is integrated in steps of this much of its arc: errors stay below 1e-10 of the length. */
const arcStep = 0.1
const gaussNodes = [0, 0.5384693101056831, -0.5384693101056831, 0.906179845938664, -0.906179845938664]
const gaussWeights = [0.5688888888888889, 0.4786286704993665, 0.4786286704993665, 0.2369268850561891, 0.2369268850561891]

function addSegment(surface: Surface, from: MapPoint, to: MapPoint, pieces: PathPiece[]): void {
  const cuts = [0, 1]
  const ds = to.s - from.s
  const dTheta = to.theta - from.theta
  for (const line of [surface.frontTangentS, surface.rearTangentS]) {
    const t = (line - from.s) / ds
    if (t > 0 && t < 1) cuts.push(t)
  }
  cuts.sort((a, b) => a - b)
  for (let i = 1; i < cuts.length; i++) {
    const t0 = cuts[i - 1]
    const t1 = cuts[i]
    const mid = from.s + (ds * (t0 + t1)) / 2
    const filletRadius = mid < surface.frontTangentS ? surface.front.radius : mid > surface.rearTangentS ? surface.rear.radius : 0
    const steps = filletRadius > 0 ? Math.max(1, Math.ceil((Math.abs(ds) * (t1 - t0)) / (filletRadius * arcStep))) : 1
    for (let k = 0; k < steps; k++) {
      pieces.push(piece(surface, from.s, ds, dTheta, t0 + ((t1 - t0) * k) / steps, t0 + ((t1 - t0) * (k + 1)) / steps, filletRadius > 0))
    }
  }
}

function piece(surface: Surface, s0: number, ds: number, dTheta: number, t0: number, t1: number, curved: boolean): PathPiece {
  const span = t1 - t0
  if (!curved || ds === 0) return straightPiece(ds * span, dTheta * span * radiusAt(surface, s0 + (ds * (t0 + t1)) / 2))
  const sum = { length: 0, cos2: 0, sin2: 0 }
  for (let g = 0; g < gaussNodes.length; g++) {
    const t = t0 + (span * (gaussNodes[g] + 1)) / 2
    const part = straightPiece(ds * span, dTheta * span * radiusAt(surface, s0 + ds * t))
    const weight = gaussWeights[g] / 2
    sum.length += part.length * weight
    sum.cos2 += part.cos2 * weight
    sum.sin2 += part.sin2 * weight
  }
  return sum
}

function straightPiece(along: number, around: number): PathPiece {
  const length = Math.hypot(along, around)
  if (length === 0) return { length: 0, cos2: 0, sin2: 0 }
  return { length, cos2: (along * along - around * around) / length, sin2: (2 * along * around) / length }
}

type Cumulative = { at: number[]; cos2: number[]; sin2: number[] }

function cumulative(pieces: readonly PathPiece[]): Cumulative {
  const sums: Cumulative = { at: [0], cos2: [0], sin2: [0] }
  pieces.forEach((p, i) => {
    sums.at.push(sums.at[i] + p.length)
    sums.cos2.push(sums.cos2[i] + p.cos2)
    sums.sin2.push(sums.sin2[i] + p.sin2)
  })
  return sums
}

function windowStarts(at: readonly number[], length: number, stretch: number): number[] {
  const last = length - stretch
  const starts = [0, last]
  for (const place of at) {
    if (place > 0 && place < last) starts.push(place)
    if (place - stretch > 0 && place - stretch < last) starts.push(place - stretch)
  }
  return starts.sort((a, b) => a - b)
}

function sumAt(sums: Cumulative, place: number): [number, number] {
  let low = 0
  let high = sums.at.length - 1
  while (high - low > 1) {
    const mid = (low + high) >> 1
    if (sums.at[mid] <= place) low = mid
    else high = mid
  }
  const span = sums.at[high] - sums.at[low]
  const t = span > 0 ? Math.min(1, Math.max(0, (place - sums.at[low]) / span)) : 0
  return [sums.cos2[low] + t * (sums.cos2[high] - sums.cos2[low]), sums.sin2[low] + t * (sums.sin2[high] - sums.sin2[low])]
}
