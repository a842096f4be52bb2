/** Where the letters of marks stand: beside an end of their line, none over another or over a plate with a value. */
import { freePlace, letterPlate, type Plate } from './plates'
import type { ScreenPoint, Size } from './view'

/** One place for each line, in order; lines without points get null. A letter keeps inside the frame. */
export function letterPlaces(
  lines: readonly (readonly ScreenPoint[])[],
  frame: ScreenPoint & Size,
  plates: readonly Plate[] = [],
): (ScreenPoint | null)[] {
  const taken = [...plates]
  return lines.map((points) => {
    const at = freePlace(letterPlate, candidates(points), frame, taken)
    if (at) taken.push(at)
    return at
  })
}

function candidates(points: readonly ScreenPoint[]): ScreenPoint[] {
  const first = points[0]
  const last = points.at(-1)
  if (!first || !last) return []
  const beyond = (end: ScreenPoint, before: ScreenPoint) => {
    const length = Math.hypot(end.x - before.x, end.y - before.y) || 1
    return { x: end.x + ((end.x - before.x) / length) * 22, y: end.y + ((end.y - before.y) / length) * 22 }
  }
  const around = (at: ScreenPoint) => [
    { x: at.x + 22, y: at.y },
    { x: at.x, y: at.y - 22 },
    { x: at.x, y: at.y + 22 },
    { x: at.x - 22, y: at.y },
    { x: at.x + 20, y: at.y - 20 },
    { x: at.x + 20, y: at.y + 20 },
    { x: at.x - 20, y: at.y - 20 },
    { x: at.x - 20, y: at.y + 20 },
    { x: at.x + 44, y: at.y },
    { x: at.x - 44, y: at.y },
  ]
  return [beyond(last, points.at(-2) ?? first), beyond(first, points[1] ?? last), ...around(last), ...around(first)]
}
