/**
 * The journal's map laid on a sheet in mm, true to scale: as seen from outside, rear cheek up and angle to the right, or turned a quarter:
 * front at the left and angle downward. Never mirrored. Sheet x to the right, y down.
 */
import type { MapPoint, Surface } from '@/lib/journal/surface'
import type { ScreenPoint, Size } from './view'

export type MapLay = 'rear-up' | 'front-left'

export type MapSheet = {
  lay: MapLay
  surface: Surface
  /** Once around, mm. */
  turn: number
  size: Size
}

export function mapSheet(surface: Surface, lay: MapLay): MapSheet {
  const turn = 2 * Math.PI * surface.radius
  const size = lay === 'rear-up' ? { width: turn, height: surface.totalS } : { width: surface.totalS, height: turn }
  return { lay, surface, turn, size }
}

export function onSheet(sheet: MapSheet, { theta, s }: MapPoint): ScreenPoint {
  const around = theta * sheet.surface.radius
  return sheet.lay === 'rear-up' ? { x: around, y: sheet.surface.totalS - s } : { x: s, y: around }
}

/** The place on the map; kept on the journal between its cheeks. */
export function offSheet(sheet: MapSheet, { x, y }: ScreenPoint): MapPoint {
  const around = sheet.lay === 'rear-up' ? x : y
  const s = sheet.lay === 'rear-up' ? sheet.surface.totalS - y : x
  return { theta: around / sheet.surface.radius, s: Math.min(sheet.surface.totalS, Math.max(0, s)) }
}

/** The turns by which a line has to be drawn again so that all of it is seen on one turn of the map. */
export function turnsToDraw(points: readonly MapPoint[]): number[] {
  if (points.length === 0) return []
  const angles = points.map((point) => point.theta / (2 * Math.PI))
  const first = Math.floor(Math.min(...angles))
  const last = Math.ceil(Math.max(...angles)) - 1
  return Array.from({ length: Math.max(1, last - first + 1) }, (_, index) => 0 - first - index)
}

export function turned(points: readonly MapPoint[], turns: number): MapPoint[] {
  return points.map(({ theta, s }) => ({ theta: theta + turns * 2 * Math.PI, s }))
}

/** The same angle within one turn, 0 to 2 pi. */
export function withinTurn(theta: number): number {
  const turn = 2 * Math.PI
  return ((theta % turn) + turn) % turn
}
