/** The tracing worker's side of its messages: one map's field, and one tree that grows from the last place asked for. */
import type { MapPoint, Surface } from '../journal/surface'
import { type TraceField, type TraceMap, traceField } from './trace-field'
import { type TraceTree, traceFrom, traceTo } from './trace-path'
import { pixelOfMap, stepsAround, tracedLine } from './traced-line'

export type ToTracer =
  | { say: 'map'; map: TraceMap; surface: Surface }
  | { say: 'follow'; id: number; from: MapPoint; to: MapPoint; snap: boolean }
/** `points` from the one place to the other; null where there is no map. */
export type FromTracer = { say: 'followed'; id: number; points: MapPoint[] | null }

/** A tap is taken for the line within this of it, mm. */
const snapMm = 0.5
/** One standard deviation of a hand's pick on the map, mm. */
const pickNoiseMm = 0.12

export function traceService(answer: (message: FromTracer) => void): (message: ToTracer) => void {
  let held: { field: TraceField; surface: Surface } | null = null
  let tree: TraceTree | null = null
  return (message) => {
    if (message.say === 'map') {
      const { map, surface } = message
      held = {
        surface,
        field: traceField(map, stepsAround(surface, map.width, map.height), surface.totalS / map.height, lineOf(map)),
      }
      tree = null
      return
    }
    if (!held) return answer({ say: 'followed', id: message.id, points: null })
    const { field, surface } = held
    const [from, to] = [pixelOfMap(surface, field, message.from), pixelOfMap(surface, field, message.to)]
    const reach = message.snap ? snapMm : 0
    const start = Math.round(from.y) * field.width + (((Math.round(from.x) % field.width) + field.width) % field.width)
    if (tree?.field !== field || tree.from !== start || tree.reachMm !== reach) tree = traceFrom(field, from.x, from.y, reach)
    const path = traceTo(tree, to.x, to.y)
    answer({ say: 'followed', id: message.id, points: onTurnOf(message.from, tracedLine(surface, field, path, pickNoiseMm)) })
  }
}

/** Under ultraviolet cracks glow: the map is dark and more blue than red. */
export function lineOf({ rgba }: TraceMap): 'dark' | 'bright' {
  let [red, blue, count] = [0, 0, 0]
  for (let i = 0; i + 3 < rgba.length; i += 4 * 97) {
    if (rgba[i + 3] === 0) continue
    red += rgba[i]
    blue += rgba[i + 2]
    count++
  }
  return count > 0 && blue > 1.3 * red && red < 90 * count ? 'bright' : 'dark'
}

/** The line shifted by whole turns so that it begins where it was asked to. */
function onTurnOf(from: MapPoint, points: MapPoint[]): MapPoint[] {
  const first = points[0]
  if (!first) return points
  const turns = 2 * Math.PI * Math.round((from.theta - first.theta) / (2 * Math.PI))
  return points.map(({ theta, s }) => ({ theta: theta + turns, s }))
}
