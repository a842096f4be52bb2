/**
 * The map's columns and rows, and how far apart its nodes may stand. For a circle of the map seen from depth z, the picture's second derivative along a
 * column step h is at most about f rho / z (1 + rho / z)^2 h^2 radians squared, and a chord errs by an eighth of that; along s a fillet bends by 1 / r,
 * and perspective by 2 f / z^2.
 */
import type { Surface } from '../journal/surface'
import { type Camera, cameraPlace } from '../photo/camera'
import { cellGrid } from './map-cells'

/** Columns and rows of the map, and where the projection is worked out. The last column closes the turn. */
export type MapGrid = {
  surface: Surface
  width: number
  height: number
  columnStep: number
  rowStep: number
  filletStep: number
  cos: Float64Array
  sin: Float64Array
}

/** Largest error of a sampling place, px of the photograph. */
const chordErrorPx = 0.1
const longestStep = 32
export function mapGrid(surface: Surface, cameras: readonly Camera[], { width, height }: { width: number; height: number }): MapGrid {
  const rho = surface.radius + Math.max(surface.front.radius, surface.rear.radius)
  const turn = (2 * Math.PI) / width
  const perRow = surface.totalS / height
  const filletRadius = Math.min(...[surface.front.radius, surface.rear.radius].filter((r) => r > 0), Number.POSITIVE_INFINITY)
  const cells = cellGrid(surface)
  let columnStep = stepWithin(width / cells.columns)
  let rowStep = stepWithin(height / cells.rows)
  let filletStep = rowStep
  for (const camera of cameras) {
    const [x, y] = cameraPlace(camera)
    const depth = Math.max(1e-3, Math.hypot(x, y) - rho)
    const lens = 1 + 3 * Math.abs(camera.k1)
    const around = (camera.focalPx * rho * (1 + rho / depth) ** 2 * lens) / depth
    const along = (2 * camera.focalPx * lens) / depth ** 2
    const fillet = (camera.focalPx * lens) / depth / filletRadius
    while (columnStep > 1 && (around * (turn * columnStep) ** 2) / 8 > chordErrorPx) columnStep >>= 1
    while (rowStep > 1 && (along * (perRow * rowStep) ** 2) / 8 > chordErrorPx) rowStep >>= 1
    while (filletStep > 1 && ((along + fillet) * (perRow * filletStep) ** 2) / 8 > chordErrorPx) filletStep >>= 1
  }
  const angleOf = (i: number) => ((i + 0.5) / width) * 2 * Math.PI
  return {
    surface,
    width,
    height,
    columnStep,
    rowStep,
    filletStep: Math.min(rowStep, filletStep),
    cos: Float64Array.from({ length: width + 1 }, (_, i) => Math.cos(angleOf(i))),
    sin: Float64Array.from({ length: width + 1 }, (_, i) => Math.sin(angleOf(i))),
  }
}

/** Weights change from cell to cell of the blend: a step leaves none out. A power of two. */
function stepWithin(longest: number): number {
  let step = longestStep
  while (step > 1 && step > longest) step >>= 1
  return step
}
