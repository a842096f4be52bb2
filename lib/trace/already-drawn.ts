/** Which suggested lines lie on marks that a person has drawn already: those are no news. */
import { encloses } from '../journal/polygon'
import { type MapPoint, radiusAt, type Surface } from '../journal/surface'
import { wrapped } from '../journal/wrapped-angle'

export type DrawnMark = { closed: boolean; vertices: readonly MapPoint[] }

/** mm: a hand's line is a chord between few points, its craze a jagged way. */
const besideMm = 0.8
/** mm of a suggestion that may stick out: what is longer tells something new, such as where a crack goes on. */
const newsMm = 1.5
const stepMm = 0.25

/** True where at least half of the line, and all but 1.5 mm of it, lies within 0.8 mm of a drawn mark or inside a drawn patch. */
export function isAlreadyDrawn(surface: Surface, line: readonly MapPoint[], marks: readonly DrawnMark[]): boolean {
  const origin = line[0]
  if (!origin) return false
  const flat = ({ theta, s }: MapPoint): [number, number] => [radiusAt(surface, s) * wrapped(theta - origin.theta), s]
  const drawn = marks.map(({ closed, vertices }) => ({ closed, points: vertices.map(flat) }))
  const places = steps(line.map(flat))
  const beside = places.filter((place) => drawn.some((mark) => lies(place, mark))).length
  return 2 * beside >= places.length && (places.length - beside) * stepMm <= newsMm
}

type Flat = readonly [number, number]

/** Places every 0.25 mm along a line; its only point for a line of one. */
function steps(line: readonly Flat[]): Flat[] {
  const places: Flat[] = line.slice(0, 1)
  for (let i = 1; i < line.length; i++) {
    const [from, to] = [line[i - 1] as Flat, line[i] as Flat]
    const count = Math.max(1, Math.round(Math.hypot(to[0] - from[0], to[1] - from[1]) / stepMm))
    for (let k = 1; k <= count; k++) places.push([from[0] + ((to[0] - from[0]) * k) / count, from[1] + ((to[1] - from[1]) * k) / count])
  }
  return places
}

function lies(place: Flat, { closed, points }: { closed: boolean; points: readonly Flat[] }): boolean {
  if (closed && encloses(points, place)) return true
  const round = closed ? [...points, ...points.slice(0, 1)] : points
  return round.some((to, i) => distanceTo(place, round[Math.max(0, i - 1)] as Flat, to) <= besideMm)
}

function distanceTo([x, y]: Flat, [ax, ay]: Flat, [bx, by]: Flat): number {
  const [dx, dy] = [bx - ax, by - ay]
  const share = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy || 1)))
  return Math.hypot(x - ax - share * dx, y - ay - share * dy)
}
