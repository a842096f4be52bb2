/** Where the dimension lines of a mark stand on the map: to the nearer tangent line, to the nearest oil hole, and the angle to the shaft. */
import type { MapPoint, Surface } from '@/lib/journal/surface'
import type { OilHole } from '@/lib/model/journal'
import { oilHoleOutline } from './oil-hole-outline'

export type DimensionPlaces = {
  end: 'front' | 'rear'
  /** From the tangent line straight along the shaft to the mark's nearest point. */
  fillet: { from: MapPoint; to: MapPoint }
  /** From the mark's nearest point to the rim. */
  hole: { id: string; from: MapPoint; to: MapPoint } | null
  /** Apex, and the other end of the mark as it runs. */
  angle: { apex: MapPoint; towards: MapPoint } | null
}

export function dimensionPlaces(surface: Surface, holes: readonly OilHole[], vertices: readonly MapPoint[]): DimensionPlaces | null {
  const first = vertices[0]
  const last = vertices.at(-1)
  if (!first || !last) return null
  const lowest = vertices.reduce((a, b) => (b.s < a.s ? b : a))
  const highest = vertices.reduce((a, b) => (b.s > a.s ? b : a))
  const toFront = lowest.s - surface.frontTangentS
  const toRear = surface.rearTangentS - highest.s
  const end = toFront < toRear ? 'front' : 'rear'
  const nearest = end === 'front' ? lowest : highest
  const line = end === 'front' ? surface.frontTangentS : surface.rearTangentS
  const [apex, towards] = first.s <= last.s ? [first, last] : [last, first]
  return {
    end,
    fillet: { from: { theta: nearest.theta, s: line }, to: nearest },
    hole: nearestHole(surface, holes, vertices),
    angle: vertices.length > 1 ? { apex, towards } : null,
  }
}

function nearestHole(surface: Surface, holes: readonly OilHole[], vertices: readonly MapPoint[]) {
  let best: { id: string; from: MapPoint; to: MapPoint; distance: number } | null = null
  const line = finely(vertices)
  for (const hole of holes) {
    for (const rim of oilHoleOutline(surface, hole, 0)) {
      for (const point of line) {
        // the copy of the rim on the turn nearest to the mark
        const turns = Math.round((point.theta - rim.theta) / (2 * Math.PI))
        const to = { theta: rim.theta + turns * 2 * Math.PI, s: rim.s }
        const distance = Math.hypot((point.theta - to.theta) * surface.radius, point.s - to.s)
        if (!best || distance < best.distance) best = { id: hole.id, from: point, to, distance }
      }
    }
  }
  return best
}

function finely(vertices: readonly MapPoint[]): MapPoint[] {
  const out: MapPoint[] = []
  const steps = 16
  for (let index = 1; index < vertices.length; index++) {
    const from = vertices[index - 1] as MapPoint
    const to = vertices[index] as MapPoint
    for (let step = 0; step < steps; step++)
      out.push({ theta: from.theta + ((to.theta - from.theta) * step) / steps, s: from.s + ((to.s - from.s) * step) / steps })
  }
  const last = vertices.at(-1)
  return last ? [...out, last] : out
}
