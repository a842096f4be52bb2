/**
 * Where a picture's brightness changes along a short line across an edge, to a fraction of a pixel. Three models: a step (the side of the
 * journal against what lies behind it), a dark line (a crack), a kink (a tangent line: the metal begins to curve there, so that the
 * brightness keeps its value and changes its slope).
 */

/** Brightness of a part of the photograph; a pixel of it covers `scale` px of the photograph, its corner lies at (u, v). */
export type Patch = { u: number; v: number; scale: number; width: number; height: number; grey: Float32Array }

/** Brightness along a line, `step` px of the photograph apart, the middle one at 0. */
export type Profile = { step: number; values: Float64Array }

/** @returns null outside the patch. Bilinear. */
export function greyAt({ u, v, scale, width, height, grey }: Patch, pu: number, pv: number): number | null {
  const x = (pu - u) / scale - 0.5
  const y = (pv - v) / scale - 0.5
  const i = Math.floor(x)
  const j = Math.floor(y)
  if (i < 0 || j < 0 || i + 1 >= width || j + 1 >= height) return null
  const a = x - i
  const b = y - j
  const k = j * width + i
  return (1 - b) * ((1 - a) * grey[k] + a * grey[k + 1]) + b * ((1 - a) * grey[k + width] + a * grey[k + width + 1])
}

/** A place on a curve and the unit direction across it. */
export type Crossing = { u: number; v: number; across: readonly [number, number] }

/**
 * The brightness across a curve, averaged over some places on it, `reachPx` to either side.
 * @returns null where more than a quarter of it leaves the patch
 */
export function profileAcross(patch: Patch, crossings: readonly Crossing[], reachPx: number): Profile | null {
  const step = patch.scale / 2
  const half = Math.ceil(reachPx / step)
  const values = new Float64Array(2 * half + 1)
  let count = 0
  for (const { u, v, across } of crossings) {
    const row = new Float64Array(values.length)
    let whole = true
    for (let i = -half; i <= half && whole; i++) {
      const grey = greyAt(patch, u + i * step * across[0], v + i * step * across[1])
      if (grey === null) whole = false
      else row[i + half] = grey
    }
    if (!whole) continue
    count++
    for (let i = 0; i < row.length; i++) values[i] += row[i]
  }
  if (count === 0 || count < 0.75 * crossings.length) return null
  return { step, values: values.map((value) => value / count) }
}

/** Places along a straight edge through a point, a pixel of the patch apart. */
export function straightCrossings(
  patch: Patch,
  at: { u: number; v: number },
  across: readonly [number, number],
  alongPx: number,
): Crossing[] {
  const rows = Math.max(1, Math.ceil(alongPx / patch.scale))
  return Array.from({ length: 2 * rows + 1 }, (_, k) => ({
    u: at.u - (k - rows) * patch.scale * across[1],
    v: at.v + (k - rows) * patch.scale * across[0],
    across,
  }))
}

/** A found place: px of the photograph along the profile from its middle, and how far it stands out of the noise around it. */
export type Found = { offsetPx: number; clarity: number }

/** The steepest place. */
export function stepIn(profile: Profile): Found | null {
  return peakOf(steepness(profile), profile)
}

/** How steep the profile is at each of its places. */
export function steepness(profile: Profile): number[] {
  return smoothed(profile, 1).map((_, i, all) => (i > 0 && i < all.length - 1 ? Math.abs(all[i + 1] - all[i - 1]) : 0))
}

/** The darkest line: where the profile curves up most. */
export function lineIn(profile: Profile): Found | null {
  const smooth = smoothed(profile, 1.2)
  const wide = 2
  const bend = smooth.map((value, i) =>
    i >= wide && i < smooth.length - wide ? Math.max(0, smooth[i - wide] + smooth[i + wide] - 2 * value) : 0,
  )
  return peakOf(bend, profile)
}

/**
 * The kink: a straight line on the cylinder's side, and from the kink on a parabola that leaves it with another slope. Least squares for every
 * kink; the one with the least residual. `inward` is the side of the cylinder along the profile, -1 or 1.
 */
export function kinkIn(profile: Profile, inward: 1 | -1): Found | null {
  const costs = kinkCosts(profile, inward)
  let best = -1
  for (let k = 0; k < costs.length; k++) if (Number.isFinite(costs[k]) && (best < 0 || costs[k] < costs[best])) best = k
  if (best < 0 || !Number.isFinite(costs[best - 1]) || !Number.isFinite(costs[best + 1])) return null
  const offset = parabolaTop(-costs[best - 1], -costs[best], -costs[best + 1])
  const plain = kinkCost(profile.values, () => 0)
  return { offsetPx: (best + offset - (costs.length - 1) / 2) * profile.step, clarity: Math.sqrt(plain / Math.max(1e-9, costs[best])) }
}

/** The residual with the kink at each place of the profile; infinite near its ends, where one of the two parts would be too short. */
export function kinkCosts(profile: Profile, inward: 1 | -1): number[] {
  const n = profile.values.length
  const first = Math.ceil(n * 0.22)
  return Array.from({ length: n }, (_, k) =>
    k < first || k > n - 1 - first ? Number.POSITIVE_INFINITY : kinkCost(profile.values, (i) => -inward * (i - k) * profile.step),
  )
}

/** Residual of value = a + b t + (c t + d t^2 where t > 0), t counted from the kink into the fillet. */
function kinkCost(values: Float64Array, place: (i: number) => number): number {
  const size = 4
  const normal = new Float64Array(size * size)
  const right = new Float64Array(size)
  let total = 0
  for (let i = 0; i < values.length; i++) {
    const t = place(i)
    const plus = Math.max(0, t)
    const row = [1, t, plus, plus * plus]
    for (let a = 0; a < size; a++) {
      right[a] += row[a] * values[i]
      for (let b = 0; b < size; b++) normal[a * size + b] += row[a] * row[b]
    }
    total += values[i] * values[i]
  }
  for (let a = 0; a < size; a++) normal[a * size + a] += 1e-6
  const solution = solved(normal, right, size)
  let explained = 0
  for (let a = 0; a < size; a++) explained += solution[a] * right[a]
  return Math.max(0, total - explained)
}

/** Gauss elimination with pivots; the matrix is small and positive. */
function solved(matrix: Float64Array, right: Float64Array, n: number): Float64Array {
  const m = Float64Array.from(matrix)
  const b = Float64Array.from(right)
  for (let k = 0; k < n; k++) {
    let pivot = k
    for (let i = k + 1; i < n; i++) if (Math.abs(m[i * n + k]) > Math.abs(m[pivot * n + k])) pivot = i
    for (let j = 0; j < n; j++) [m[k * n + j], m[pivot * n + j]] = [m[pivot * n + j], m[k * n + j]]
    ;[b[k], b[pivot]] = [b[pivot], b[k]]
    for (let i = k + 1; i < n; i++) {
      const factor = m[i * n + k] / m[k * n + k]
      for (let j = k; j < n; j++) m[i * n + j] -= factor * m[k * n + j]
      b[i] -= factor * b[k]
    }
  }
  for (let k = n - 1; k >= 0; k--) {
    for (let j = k + 1; j < n; j++) b[k] -= m[k * n + j] * b[j]
    b[k] /= m[k * n + k]
  }
  return b
}

/** The highest place to a fraction of a sample; null where it lies at the very end. */
function peakOf(heights: readonly number[], { step }: Profile): Found | null {
  let best = 1
  for (let i = 2; i < heights.length - 1; i++) if (heights[i] > heights[best]) best = i
  if (best <= 1 || best >= heights.length - 2 || heights[best] <= 0) return null
  const sorted = [...heights].sort((a, b) => a - b)
  const usual = sorted[sorted.length >> 1]
  const offset = parabolaTop(heights[best - 1], heights[best], heights[best + 1])
  return { offsetPx: (best + offset - (heights.length - 1) / 2) * step, clarity: heights[best] / (usual + 0.5) }
}

/** Where the top of the parabola through three heights lies, from the middle one, in their spacing. */
export function parabolaTop(before: number, here: number, after: number): number {
  const bend = before - 2 * here + after
  return bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (before - after)) / bend)) : 0
}

/** Gaussian, sigma in pixels of the patch. */
export function smoothed({ values }: Profile, sigma: number): number[] {
  const spread = 2 * sigma
  const reach = Math.ceil(2.5 * spread)
  const kernel = Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / spread) ** 2))
  const weight = kernel.reduce((a, b) => a + b, 0)
  return Array.from(values, (_, i) => {
    let sum = 0
    for (let k = -reach; k <= reach; k++) sum += kernel[k + reach] * values[Math.max(0, Math.min(values.length - 1, i + k))]
    return sum / weight
  })
}
