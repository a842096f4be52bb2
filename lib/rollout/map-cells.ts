/**
 * What each photograph shows of the same coarse cells of the map, about 2 mm across: its mean colour there, read from a halving whose pixels
 * are about as large. Cells at the edge of what a photograph shows, steeper than 70 degrees, or so bright that a channel may be full, tell
 * nothing about its exposure and are left out.
 */
import type { Surface } from '../journal/surface'
import { type Camera, cameraPlace } from '../photo/camera'
import { distanceToOutlines, type Outlines } from '../photo/outline'
import { emptyPointView, rowView, viewPoint } from '../photo/row-view'
import { wrapped } from '../journal/wrapped-angle'
import type { Picture } from './picture'

/** A photograph as far as its exposure goes: `coarse` is its picture at about 2 mm a pixel. */
export type CoarseView = { camera: Camera; outlines: Outlines; coarse: Picture }

export type CellGrid = { columns: number; rows: number }

/** Cells that one photograph shows, in parallel arrays. */
export type CellsShown = {
  /** row * columns + column, the first row at the front. */
  cells: number[]
  /** Angle from the generator nearest to the camera, radians in [-pi, pi). */
  offsets: number[]
  s: number[]
  /** Natural logarithms of red, green, blue. */
  logs: [number[], number[], number[]]
}

const cellMm = 2
const leastCosine = Math.cos((70 * Math.PI) / 180)
const edgeMm = 1.5
const fullLevel = 246

export function cellGrid(surface: Surface): CellGrid {
  return {
    columns: Math.min(360, Math.max(60, Math.round((2 * Math.PI * surface.radius) / cellMm))),
    rows: Math.min(80, Math.max(8, Math.round(surface.totalS / cellMm))),
  }
}

export function cellsShown(surface: Surface, { camera, outlines, coarse }: CoarseView, grid: CellGrid): CellsShown {
  const shown: CellsShown = { cells: [], offsets: [], s: [], logs: [[], [], []] }
  const place = cameraPlace(camera)
  const middle = Math.atan2(place[1], place[0])
  const edgePx = (1.5 * camera.width) / coarse.width
  const point = emptyPointView()
  const colour = new Float64Array(3)
  for (let row = 0; row < grid.rows; row++) {
    const s = ((row + 0.5) / grid.rows) * surface.totalS
    const terms = rowView(surface, camera, s)
    for (let column = 0; column < grid.columns; column++) {
      const theta = ((column + 0.5) / grid.columns) * 2 * Math.PI
      if (!viewPoint(terms, Math.cos(theta), Math.sin(theta), point)) continue
      const { u, v } = point
      if (point.cosIncidence < leastCosine || point.cheekMargin < edgeMm) continue
      if (Math.min(u, v, camera.width - u, camera.height - v) < edgePx) continue
      if (outlines.polygons.length > 0 && distanceToOutlines(outlines, u, v, edgePx) < edgePx) continue
      colourAt(coarse, (u * coarse.width) / camera.width, (v * coarse.height) / camera.height, colour)
      if (Math.max(colour[0], colour[1], colour[2]) > fullLevel) continue
      shown.cells.push(row * grid.columns + column)
      shown.offsets.push(wrapped(theta - middle))
      shown.s.push(s)
      for (let c = 0; c < 3; c++) shown.logs[c].push(Math.log(colour[c] + darkOffset))
    }
  }
  return shown
}

/** Four cells and what each counts at a place between their middles. */
export type CellPlace = { cells: Int32Array; shares: Float64Array }

/** The place at `turn` (0..1 of the way round) and `along` (0..1 of s), straight between the cells' middles. */
export function cellPlaceAt({ columns, rows }: CellGrid, turn: number, along: number, out: CellPlace): void {
  const x = turn * columns - 0.5
  const y = Math.min(rows - 1, Math.max(0, along * rows - 0.5))
  const left = Math.floor(x)
  const below = Math.min(rows - 2, Math.floor(y))
  const fx = x - left
  const fy = y - below
  const a = ((left % columns) + columns) % columns
  const b = (((left + 1) % columns) + columns) % columns
  out.cells[0] = below * columns + a
  out.cells[1] = below * columns + b
  out.cells[2] = out.cells[0] + columns
  out.cells[3] = out.cells[1] + columns
  out.shares[0] = (1 - fx) * (1 - fy)
  out.shares[1] = fx * (1 - fy)
  out.shares[2] = (1 - fx) * fy
  out.shares[3] = fx * fy
}

export function valueAt({ cells, shares }: CellPlace, values: Float32Array): number {
  return values[cells[0]] * shares[0] + values[cells[1]] * shares[1] + values[cells[2]] * shares[2] + values[cells[3]] * shares[3]
}

/** Keeps the logarithm of near-black finite and quiet. */
const darkOffset = 2

/** The picture's colour at a place in its own px, straight between pixel centres. */
export function colourAt({ data, channels, width, height }: Picture, x: number, y: number, out: Float64Array): void {
  const px = Math.min(width - 1.001, Math.max(0, x - 0.5))
  const py = Math.min(height - 1.001, Math.max(0, y - 0.5))
  const left = px | 0
  const top = py | 0
  const fx = px - left
  const fy = py - top
  const p = (top * width + left) * channels
  const q = p + width * channels
  for (let c = 0; c < 3; c++) {
    const above = data[p + c] * (1 - fx) + data[p + channels + c] * fx
    const below = data[q + c] * (1 - fx) + data[q + channels + c] * fx
    out[c] = above * (1 - fy) + below * fy
  }
}
