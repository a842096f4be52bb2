/** What lies under a pointer, in the coordinates of the picture's content. */
import type { ScreenPoint } from './view'

/** The nearest of some points within reach. */
export function nearestPoint(points: readonly (ScreenPoint | null)[], at: ScreenPoint, reach: number): number | null {
  let best: { index: number; distance: number } | null = null
  points.forEach((point, index) => {
    if (!point) return
    const distance = Math.hypot(point.x - at.x, point.y - at.y)
    if (distance <= reach && (!best || distance < best.distance)) best = { index, distance }
  })
  return (best as { index: number } | null)?.index ?? null
}

/** Distance from a place to a polyline. */
export function distanceToLine(points: readonly ScreenPoint[], at: ScreenPoint): number {
  if (points.length === 1) return Math.hypot((points[0] as ScreenPoint).x - at.x, (points[0] as ScreenPoint).y - at.y)
  let best = Number.POSITIVE_INFINITY
  for (let index = 1; index < points.length; index++) {
    const from = points[index - 1] as ScreenPoint
    const to = points[index] as ScreenPoint
    const square = (to.x - from.x) ** 2 + (to.y - from.y) ** 2
    const along =
      square === 0 ? 0 : Math.min(1, Math.max(0, ((at.x - from.x) * (to.x - from.x) + (at.y - from.y) * (to.y - from.y)) / square))
    best = Math.min(best, Math.hypot(from.x + (to.x - from.x) * along - at.x, from.y + (to.y - from.y) * along - at.y))
  }
  return best
}
