/**
 * The map's columns and rows, and how far apart its nodes may stand. For a circle of the map seen from depth z, the picture's second derivative along a
 * column step h is at most about f rho / z (1 + rho / z)^2 h^2 radians squared, and a chord errs by an eighth of that; along s a fillet bends by 1 / r,
 * and perspective by 2 f / z^2.
 */
import type { Surface } from '../journal/surface'
import { type Camera, cameraPlace } from '../photo/camera'
import { cellGrid } from './map-cells'

/** Columns from node to node of one photograph, and rows on the cylinder and in a fillet: powers of two. */
export type NodeSteps = { columns: number; rows: number; filletRows: number }

/** Columns and rows of the map; the last column closes the turn. `steps`: one entry for each photograph. */
export type MapGrid = {
  surface: Surface
  width: number
  height: number
  steps: NodeSteps[]
  cos: Float64Array
  sin: Float64Array
}

/** Largest error of a sampling place, px of the photograph. */
const chordErrorPx = 0.1
const longestStep = 64

export function mapGrid(surface: Surface, cameras: readonly Camera[], { width, height }: { width: number; height: number }): MapGrid {
  const cos = new Float64Array(width + 1)
  const sin = new Float64Array(width + 1)
  for (let i = 0; i <= width; i++) {
    const angle = ((i + 0.5) / width) * 2 * Math.PI
    cos[i] = Math.cos(angle)
    sin[i] = Math.sin(angle)
  }
  return {
    surface,
    width,
    height,
    steps: cameras.map((camera) => nodeSteps(surface, camera, width, height)),
    cos,
    sin,
  }
}

function nodeSteps(surface: Surface, camera: Camera, width: number, height: number): NodeSteps {
  const rho = surface.radius + Math.max(surface.front.radius, surface.rear.radius)
  const turn = (2 * Math.PI) / width
  const perRow = surface.totalS / height
  const filletRadius = Math.min(...[surface.front.radius, surface.rear.radius].filter((r) => r > 0), Number.POSITIVE_INFINITY)
  const [x, y] = cameraPlace(camera)
  const depth = Math.max(1e-3, Math.hypot(x, y) - rho)
  const lens = 1 + 3 * Math.abs(camera.k1)
  const around = (camera.focalPx * rho * (1 + rho / depth) ** 2 * lens) / depth
  const along = (2 * camera.focalPx * lens) / depth ** 2
  const fillet = (camera.focalPx * lens) / depth / filletRadius
  const cells = cellGrid(surface)
  const within = (longest: number, bend: number, perStep: number) => {
    let step = stepWithin(longest)
    while (step > 1 && (bend * (perStep * step) ** 2) / 8 > chordErrorPx) step >>= 1
    return step
  }
  const rows = within(height / cells.rows, along, perRow)
  return { columns: within(width / cells.columns, around, turn), rows, filletRows: Math.min(rows, within(rows, along + fillet, perRow)) }
}

/** Weights change from cell to cell of the blend: a step leaves none out. A power of two. */
function stepWithin(longest: number): number {
  let step = longestStep
  while (step > 1 && step > longest) step >>= 1
  return step
}
