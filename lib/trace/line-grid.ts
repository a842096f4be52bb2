/**
 * The grid on which lines are looked for: even steps of the map, so that a line's look does not depend on the view. Column i is the angle
 * (i + 0.5) / columns of a turn, row k the meridian arc (k + 0.5) * stepS from the front; the steps are the same around (at the cylinder's
 * radius) and along to half a per cent.
 */
import type { MapPoint, Surface } from '../journal/surface'

export type LineGrid = { columns: number; rows: number; stepTheta: number; stepS: number; radius: number }

/** 16 places a mm: finer than a phone's photograph shows a whole journal (10 to 15 px per mm). */
export const linePlacesPerMm = 16

export function lineGrid(surface: Surface): LineGrid {
  // a multiple of 4, so that tiles begin alike
  const columns = 4 * Math.round((2 * Math.PI * surface.radius * linePlacesPerMm) / 4)
  const rows = Math.max(1, Math.round(surface.totalS * linePlacesPerMm))
  return { columns, rows, stepTheta: (2 * Math.PI) / columns, stepS: surface.totalS / rows, radius: surface.radius }
}

/** The column within the turn of one that may lie past either end. */
export function wrappedColumn(columns: number, column: number): number {
  return ((column % columns) + columns) % columns
}

/** The map point of a place on the grid; x in columns (any turn), y in rows, middles at whole numbers. */
export function mapPointAt(grid: LineGrid, x: number, y: number): MapPoint {
  return { theta: (x + 0.5) * grid.stepTheta, s: (y + 0.5) * grid.stepS }
}

export function gridPlaceOf(grid: LineGrid, { theta, s }: MapPoint): { x: number; y: number } {
  return { x: theta / grid.stepTheta - 0.5, y: s / grid.stepS - 0.5 }
}
