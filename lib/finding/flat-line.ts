/** Polylines on the flat map in mm (angle times R; s), and how two of them lie to each other. Whole turns wrap. */
import { encloses } from '../journal/polygon'
import type { MapPoint, Surface } from '../journal/surface'

export type FlatLine = { points: (readonly [around: number, along: number])[] }

export function flatLine(surface: Surface, vertices: readonly MapPoint[]): FlatLine {
  return { points: vertices.map(({ theta, s }) => [surface.radius * theta, s] as const) }
}

/** Least distance between two lines, mm; 0 where they cross. `turn` is one turn in mm. */
export function lineGap(a: FlatLine, b: FlatLine, turn: number): number {
  let least = Number.POSITIVE_INFINITY
  for (const shift of shifts(a, b, turn)) {
    for (let i = 1; i < a.points.length; i++)
      for (let j = 1; j < b.points.length; j++)
        least = Math.min(least, segmentGap(a.points[i - 1], a.points[i], moved(b.points[j - 1], shift), moved(b.points[j], shift)))
  }
  return least
}

/** Least distance between an end of one line and an end of the other, mm. */
export function nearestEnds(a: FlatLine, b: FlatLine, turn: number): number {
  let least = Number.POSITIVE_INFINITY
  for (const p of [a.points[0], a.points[a.points.length - 1]])
    for (const q of [b.points[0], b.points[b.points.length - 1]]) {
      const around = q[0] - p[0]
      least = Math.min(least, Math.hypot(around - turn * Math.round(around / turn), q[1] - p[1]))
    }
  return least
}

/**
 * How far two lines run beside each other: the overlap along a common direction as a share of the shorter one, and
 * their distance across it at the middle of the overlap, mm. `angle` is the direction's angle to the axis.
 */
export function sideBySide(a: FlatLine, b: FlatLine, angle: number, turn: number): { overlapShare: number; apart: number } {
  const ux = Math.sin(angle)
  const uy = Math.cos(angle)
  let best = { overlapShare: 0, apart: Number.POSITIVE_INFINITY }
  for (const shift of shifts(a, b, turn)) {
    const alongA = a.points.map((p) => p[0] * ux + p[1] * uy)
    const alongB = b.points.map((p) => (p[0] + shift) * ux + p[1] * uy)
    const from = Math.max(Math.min(...alongA), Math.min(...alongB))
    const to = Math.min(Math.max(...alongA), Math.max(...alongB))
    const shorter = Math.min(spread(alongA), spread(alongB))
    if (to <= from || shorter <= 0) continue
    const middle = (from + to) / 2
    const apart = Math.abs(
      acrossAt(a.points, middle, ux, uy) -
        acrossAt(
          b.points.map((p) => moved(p, shift)),
          middle,
          ux,
          uy,
        ),
    )
    const overlapShare = (to - from) / shorter
    if (apart < best.apart) best = { overlapShare, apart }
  }
  return best
}

/** Least distance of a line (or outline) to a closed outline, 0 inside it, mm. */
export function gapToArea(area: FlatLine, line: FlatLine, turn: number): number {
  const closed = { points: [...area.points, area.points[0]] }
  const gap = lineGap(closed, line, turn)
  if (gap === 0) return 0
  const inside = shifts(area, line, turn).some((shift) => line.points.some((p) => encloses(area.points, moved(p, shift))))
  return inside ? 0 : gap
}

function shifts(a: FlatLine, b: FlatLine, turn: number): number[] {
  const centre = (line: FlatLine) => line.points.reduce((sum, p) => sum + p[0], 0) / line.points.length
  const k = Math.round((centre(a) - centre(b)) / turn)
  return [k - 1, k, k + 1].map((n) => n * turn)
}

function moved(p: readonly [number, number], shift: number): readonly [number, number] {
  return [p[0] + shift, p[1]]
}

function acrossAt(points: readonly (readonly [number, number])[], place: number, ux: number, uy: number): number {
  for (let i = 1; i < points.length; i++) {
    const a = points[i - 1][0] * ux + points[i - 1][1] * uy
    const b = points[i][0] * ux + points[i][1] * uy
    if ((place - a) * (place - b) > 0) continue
    const t = b === a ? 0 : (place - a) / (b - a)
    const x = points[i - 1][0] + t * (points[i][0] - points[i - 1][0])
    const y = points[i - 1][1] + t * (points[i][1] - points[i - 1][1])
    return x * uy - y * ux
  }
  const [x, y] = points[0]
  return x * uy - y * ux
}

function segmentGap(
  a: readonly [number, number],
  b: readonly [number, number],
  c: readonly [number, number],
  d: readonly [number, number],
): number {
  if (cross(a, b, c) * cross(a, b, d) < 0 && cross(c, d, a) * cross(c, d, b) < 0) return 0
  return Math.min(pointGap(a, c, d), pointGap(b, c, d), pointGap(c, a, b), pointGap(d, a, b))
}

function pointGap(p: readonly [number, number], a: readonly [number, number], b: readonly [number, number]): number {
  const dx = b[0] - a[0]
  const dy = b[1] - a[1]
  const size = dx * dx + dy * dy
  const t = size > 0 ? Math.max(0, Math.min(1, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / size)) : 0
  return Math.hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy)
}

function cross(o: readonly [number, number], a: readonly [number, number], b: readonly [number, number]): number {
  return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}

function spread(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values)
}
