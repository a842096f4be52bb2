/**
 * Weighted mean of photographs. A photograph weighs by the square of its density on the surface (px per mm^2: resolution and incidence
 * at once), and fades towards every border of what it shows, so that no seam stays; alone it still covers fully. Highlights give way to
 * a photograph that shows the same place without one.
 */
import type { PointView } from '../photo/row-view'

/** Beyond this angle from the normal nothing is rolled out: the picture is smeared six times and more there. */
export const steepestDeg = 80
export const leastCosine = Math.cos((steepestDeg * Math.PI) / 180)
/** Well inside: over the 2 or 3 mm from here the view grows steeper by no more than 10 degrees on any journal's cylinder. */
const wholeCosine = Math.cos((70 * Math.PI) / 180)
const fullCosine = Math.cos((50 * Math.PI) / 180)
/** What is left of a weight at a border: enough to cover alone, nothing beside a photograph that sees the place well. */
const leastShare = 1e-4
/** Grey levels between which a pixel turns from steel into glare (common practice, no source), and what is left of its weight. */
const glareFrom = 175
const glareFull = 240
const glareLeast = 1e-4

/** Above 0 where a photograph shows the point (unless its picture ends before it): by how much it stands off what ends that. */
export function visibleMargin(point: PointView): number {
  return Math.min(point.cosIncidence - leastCosine, point.cheekMargin)
}

/**
 * Weight of a photograph at a point that it shows; beyond, the weight runs on above 0. `borderPx`: distance to the nearest border of the picture or of
 * an outline left out, at most `fadePx`.
 */
export function weightOf(point: PointView, focalPx: number, borderPx: number, fade: { fadePx: number; cheekFadeMm: number }): number {
  const pxPerMm = focalPx / point.depth
  const density = pxPerMm * pxPerMm * Math.max(leastCosine, point.cosIncidence)
  const tilt = smooth((point.cosIncidence - leastCosine) / (fullCosine - leastCosine))
  const border = smooth(borderPx / fade.fadePx) * smooth(point.cheekMargin / fade.cheekFadeMm)
  return density * density * Math.max(leastShare, tilt * border)
}

/** Whether a photograph shows what lies around a point too, as far as `reachMm`. `borderPx` counts up to where borders no longer matter. */
export function isWhole(
  { cosIncidence, cheekMargin, depth }: PointView,
  borderPx: number,
  reachMm: number,
  focalPx: number,
  fadePx: number,
): boolean {
  return cosIncidence > wholeCosine && cheekMargin > reachMm && borderPx >= Math.min(fadePx, (reachMm * focalPx) / depth)
}

/** What glare leaves of a weight, by the darkest of the colour's channels: all of it on steel, nearly none where the sensor is full. */
export function glareShare(darkest: number): number {
  return glareLeast ** smooth((darkest - glareFrom) / (glareFull - glareFrom))
}

/** 0 below 0, 1 above 1, level at both. */
function smooth(x: number): number {
  if (x <= 0) return 0
  return x >= 1 ? 1 : x * x * (3 - 2 * x)
}
