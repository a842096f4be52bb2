/** Where the letters of marks stand: beside an end of their line, none over another. */
import type { ScreenPoint } from './view'

export type Frame = { x: number; y: number; width: number; height: number }

const plate = { width: 22, height: 22 }

/** One place for each line, in order; lines without points get null. A letter keeps inside the frame. */
export function letterPlaces(lines: readonly (readonly ScreenPoint[])[], frame: Frame): (ScreenPoint | null)[] {
  const taken: ScreenPoint[] = []
  return lines.map((points) => {
    const options = candidates(points).map((at) => inside(at, frame))
    const free = options.find(
      (at) => !taken.some((other) => Math.abs(other.x - at.x) < plate.width && Math.abs(other.y - at.y) < plate.height),
    )
    const at = free ?? options[0] ?? null
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
  ]
  return [beyond(last, points.at(-2) ?? first), beyond(first, points[1] ?? last), ...around(last), ...around(first)]
}

function inside({ x, y }: ScreenPoint, frame: Frame): ScreenPoint {
  return {
    x: Math.min(frame.x + frame.width - 12, Math.max(frame.x + 12, x)),
    y: Math.min(frame.y + frame.height - 12, Math.max(frame.y + 12, y)),
  }
}
