/** Where the letters of marks stand: beside an end of their line, none over another or over a plate with a value. */
import { isFree, letterPlate, type Plate, platesWithin } from './plates'
import type { ScreenPoint, Size } from './view'

export type Lettered = { points: readonly ScreenPoint[]; letter: string; chosen: boolean }

/**
 * One place for each line, in order, inside the frame; null for lines without points, and where marks lie so close that every place is taken: those
 * letters come when a person looks closer or chooses the mark, which has its place first and always.
 */
export function letterPlaces(lines: readonly Lettered[], frame: ScreenPoint & Size, plates: readonly Plate[] = []): (ScreenPoint | null)[] {
  const taken = [...plates]
  const places = new Map<Lettered, ScreenPoint>()
  for (const line of [...lines].sort((a, b) => Number(b.chosen) - Number(a.chosen))) {
    const size = letterPlate(line.letter)
    const wished = platesWithin(size, candidates(line.points, size), frame)
    const at = wished.find((plate) => isFree(plate, taken)) ?? (line.chosen ? wished[0] : undefined)
    if (!at) continue
    taken.push(at)
    places.set(line, at)
  }
  return lines.map((line) => places.get(line) ?? null)
}

function candidates(points: readonly ScreenPoint[], { width, height }: Size): ScreenPoint[] {
  const first = points[0]
  const last = points.at(-1)
  if (!first || !last) return []
  const [across, down] = [12 + width / 2, 12 + height / 2]
  const beyond = (end: ScreenPoint, before: ScreenPoint) => {
    const length = Math.hypot(end.x - before.x, end.y - before.y) || 1
    return { x: end.x + ((end.x - before.x) / length) * across, y: end.y + ((end.y - before.y) / length) * down }
  }
  const around = ({ x, y }: ScreenPoint) => [
    { x: x + across, y },
    { x, y: y - down },
    { x, y: y + down },
    { x: x - across, y },
    { x: x + across - 2, y: y - down + 2 },
    { x: x + across - 2, y: y + down - 2 },
    { x: x - across + 2, y: y - down + 2 },
    { x: x - across + 2, y: y + down - 2 },
    { x: x + 2 * across, y },
    { x: x - 2 * across, y },
  ]
  return [beyond(last, points.at(-2) ?? first), beyond(first, points[1] ?? last), ...around(last), ...around(first)]
}
