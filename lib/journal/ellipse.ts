/**
 * Exact distance of a point from an ellipse: the nearest point solves
 * (a x / (t + a^2))^2 + (b y / (t + b^2))^2 = 1 for its greatest root t, found by bracketed Newton steps
 * (D. Eberly, "Distance from a Point to an Ellipse", geometric tools, 2013).
 */

/** Semi-axes along x and y of the ellipse's own frame, both > 0, mm. */
export type Ellipse = { a: number; b: number }

/**
 * Signed distance of (x, y) from the ellipse, negative inside, and the unit direction in which it grows.
 * The signed distance to a convex shape is itself convex, which the segment search relies on.
 */
export function ellipseDistance({ a, b }: Ellipse, x: number, y: number): { distance: number; normal: [number, number] } {
  const nearest = nearestOnEllipse(a, b, Math.abs(x), Math.abs(y))
  const nx = nearest[0] * (x < 0 ? -1 : 1)
  const ny = nearest[1] * (y < 0 ? -1 : 1)
  // the gradient of the ellipse's equation at the nearest point is the normal, also where the distance is zero
  const gx = nx / (a * a)
  const gy = ny / (b * b)
  const size = Math.hypot(gx, gy)
  const normal: [number, number] = [gx / size, gy / size]
  return { distance: (x - nx) * normal[0] + (y - ny) * normal[1], normal }
}

/** A place this near to the long axis, as a share of the shorter semi-axis, counts as on it. */
const onAxis = 1e-12

function nearestOnEllipse(a: number, b: number, x: number, y: number): [number, number] {
  if (a < b) {
    const [ny, nx] = nearestOnEllipse(b, a, y, x)
    return [nx, ny]
  }
  if (y <= onAxis * b) {
    // on the long axis inside the evolute there are two nearest points: take the upper one
    const focal = a * a - b * b
    if (a * x < focal) {
      const nx = (a * a * x) / focal
      return [nx, b * Math.sqrt(Math.max(0, 1 - (nx / a) ** 2))]
    }
    return [a, 0]
  }
  if (x === 0) return [0, b]
  const u = x / a
  const v = y / b
  const ratio = (a / b) ** 2
  const excess = ((a - b) * (a + b)) / (b * b)
  // root t > 0 of (ratio u / (t + excess))^2 + (v / t)^2 = 1, in units of b^2 from the pole of the shorter axis: a point near the
  // long axis has its root near that pole, where any other origin would lose its digits
  let low = v
  let high = u * u + v * v < 1 ? 1 : Math.hypot(ratio * u, v)
  let t = high > low ? (low + high) / 2 : low
  for (let i = 0; i < 100; i++) {
    const p = (ratio * u) / (t + excess)
    const q = v / t
    const value = p * p + q * q - 1
    if (value > 0) low = t
    else high = t
    const slope = -2 * ((p * p) / (t + excess) + (q * q) / t)
    let next = t - value / slope
    if (!(next > low && next < high)) next = (low + high) / 2
    if (next === t || Math.abs(value) < 1e-16 || high - low <= Number.EPSILON * high) break
    t = next
  }
  const nx = (ratio * x) / (t + excess)
  const ny = y / t
  const off = Math.hypot(nx / a, ny / b)
  return [nx / off, ny / off]
}
