/**
 * Tells a ridge of a fingerprint from a crack: to both sides of it, less than a mm off, another line like it runs along with it. What lies across the
 * line is averaged along all of it, so that the crossing lines of a net, which keep no even distance, fall away.
 */
import { centred, type Scene } from './candidate-features'
import { wrappedColumn } from './line-grid'
import { normalsOf, smoothedPath } from './path-shape'
import type { RidgePath } from './ridge-path'

/** Places to either side: a trough beside the line, and within these its neighbour's crest. */
const troughs = [2, 6] as const
const reach = 12
/** Neighbours that stand out by this share of the line itself, on both sides. */
const alike = 0.6
/** Shallower than this it is noise, in the units of the strips. */
const leastDepth = 0.004

export function isAmongRidges(scene: Scene, path: RidgePath): boolean {
  const profile = meanProfile(scene, path)
  const crest = Math.max(...[-1, 0, 1].map((k) => profile[reach + k]))
  return [-1, 1].every((side) => neighbourShare(profile, crest, side) > alike)
}

/** How far the nearest crest on one side rises above the trough before it, as a share of the line's own height above it. */
function neighbourShare(profile: Float64Array, crest: number, side: number): number {
  const at = (k: number) => profile[reach + side * k]
  let trough = troughs[0] as number
  for (let k = troughs[0]; k <= troughs[1]; k++) if (at(k) < at(trough)) trough = k
  let neighbour = -Infinity
  for (let k = trough + 2; k <= reach; k++) neighbour = Math.max(neighbour, at(k))
  return (neighbour - at(trough)) / Math.max(leastDepth, crest - at(trough))
}

/** Mean darkness across the line; its jags are followed near it. */
function meanProfile({ grid, evidence, mean }: Scene, path: RidgePath): Float64Array {
  const points = centred(evidence, path.points)
  const smooth = smoothedPath(points, 5)
  const normals = normalsOf(smooth)
  const profile = new Float64Array(2 * reach + 1)
  points.forEach((point, i) => {
    for (let k = -reach; k <= reach; k++) {
      const { x, y } = Math.abs(k) <= 3 ? point : smooth[i]
      const row = Math.min(grid.rows - 1, Math.max(0, Math.round(y + k * normals[i].y)))
      const column = wrappedColumn(grid.columns, Math.round(x + k * normals[i].x))
      profile[k + reach] += mean[row * grid.columns + column] / points.length
    }
  })
  return profile
}
