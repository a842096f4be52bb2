/**
 * Weighted mean of photographs. A photograph weighs by the square of its density on the surface (px per mm^2: resolution and incidence
 * at once), and fades towards every border of what it shows, so that no seam stays; alone it still covers fully. Highlights give way to
 * a photograph that shows the same place without one.
 */
import type { PointView } from '../photo/row-view'

export type Blend = {
  /** Sums of red, green, blue times weight, and of weight, for each pixel. */
  sums: Float32Array
  strongest: Float32Array | null
  sources: Uint8Array | null
}

/** Beyond this angle from the normal nothing is rolled out: the picture is smeared six times and more there. */
export const steepestDeg = 80
const leastCosine = Math.cos((steepestDeg * Math.PI) / 180)
const fullCosine = Math.cos((50 * Math.PI) / 180)
const cheekFadeMm = 1
/** What is left of a weight at a border: enough to cover alone, nothing beside a photograph that sees the place well. */
const leastShare = 1e-4
/** Grey levels between which a pixel turns from steel into glare (common practice, no source), and what is left of its weight. */
const glareFrom = 175
const glareFull = 240
const glareLeast = 1e-4

export function emptyBlend(pixels: number, wantSources: boolean): Blend {
  return {
    sums: new Float32Array(pixels * 4),
    strongest: wantSources ? new Float32Array(pixels) : null,
    sources: wantSources ? new Uint8Array(pixels).fill(255) : null,
  }
}

/**
 * Weight of a photograph at a point, 0 where it does not show it. `borderPx`: distance to the nearest border of the picture or of an outline
 * left out, at most `fadePx`.
 */
export function weightOf(point: PointView, focalPx: number, borderPx: number, fadePx: number): number {
  if (point.cosIncidence <= leastCosine || point.cheekMargin < 0 || borderPx <= 0) return 0
  const pxPerMm = focalPx / point.depth
  const density = pxPerMm * pxPerMm * point.cosIncidence
  const tilt = smooth((point.cosIncidence - leastCosine) / (fullCosine - leastCosine))
  const border = smooth(borderPx / fadePx) * smooth(point.cheekMargin / cheekFadeMm)
  return density * density * Math.max(leastShare, tilt * border)
}

/** What glare leaves of a weight, by the darkest of the colour's channels: all of it on steel, nearly none where the sensor is full. */
export function glareShare(darkest: number): number {
  return glareLeast ** smooth((darkest - glareFrom) / (glareFull - glareFrom))
}

/** The means as RGBA. */
export function settle(blend: Blend): Uint8ClampedArray {
  const { sums } = blend
  const rgba = new Uint8ClampedArray(sums.length)
  for (let i = 0; i < sums.length; i += 4) {
    const weight = sums[i + 3]
    if (weight <= 0) continue
    rgba[i] = sums[i] / weight
    rgba[i + 1] = sums[i + 1] / weight
    rgba[i + 2] = sums[i + 2] / weight
    rgba[i + 3] = 255
  }
  return rgba
}

/** 0 below 0, 1 above 1, level at both. */
function smooth(x: number): number {
  if (x <= 0) return 0
  return x >= 1 ? 1 : x * x * (3 - 2 * x)
}
