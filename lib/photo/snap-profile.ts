/**
 * Where a picture's brightness changes along a short line across an edge, to a fraction of a pixel. Two models: a step (the side of the
 * journal against what lies behind it) and a dark line (a crack).
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
