/**
 * Distances from marks to an oil hole's mouth, an ellipse on the map in mm (angle times R; s), turned by its tilt
 * (right-hand positive: the long axis leans like / on the map). Exact: the signed distance to an ellipse is convex,
 * so its least value on a segment is found by bisection of its slope. Copies of the hole at whole turns are compared.
 * In the fillets the map's angle times R is shorter than the metal, which errs to the near side.
 */
import type { OilHole } from '../model/journal'
import { ellipseDistance } from './ellipse'
import { encloses } from './polygon'
import type { MapPoint, Surface } from './surface'
import { sOfAxial } from './surface'
import { wrapped } from './wrapped-angle'

export type Mouth = {
  id: string
  centre: MapPoint
  /** Semi-axes across and along the turned frame, mm. */
  a: number
  b: number
  tilt: number
  largerAxis: number
}

export function mouthOf(surface: Surface, hole: OilHole): Mouth {
  return {
    id: hole.id,
    centre: { theta: (hole.angleDeg * Math.PI) / 180, s: sOfAxial(surface, hole.axial) },
    a: hole.mouthAround / 2,
    b: hole.mouthAlong / 2,
    tilt: (hole.tiltDeg * Math.PI) / 180,
    largerAxis: Math.max(hole.mouthAround, hole.mouthAlong),
  }
}

export type MouthDistance = {
  /** Signed distance, mm: negative inside the mouth. */
  distance: number
  /** Which segment comes nearest, and where on it (0..1). */
  segment: number
  t: number
  /** Unit direction on the map (around, along) in which the distance grows. */
  normal: [number, number]
  /** Whole turns by which that copy of the hole is shifted. */
  turn: number
}

/** Nearest approach of a polyline (closed: of the outline and what it encloses) to the mouth. */
export function mouthDistance(surface: Surface, mouth: Mouth, vertices: readonly MapPoint[], closed: boolean): MouthDistance {
  let best: MouthDistance | null = null
  for (const turn of turnsNear(mouth, vertices)) {
    const flat = vertices.map((vertex) => toMouthFrame(surface, mouth, vertex, turn))
    const count = closed ? flat.length : Math.max(1, flat.length - 1)
    for (let i = 0; i < count; i++) {
      const from = flat[i]
      const to = flat[(i + 1) % flat.length]
      const length = Math.hypot(to[0] - from[0], to[1] - from[1])
      if (best) {
        // the distance cannot fall faster than the path is long
        const a = ellipseDistance(mouth, from[0], from[1]).distance
        if (a - length >= best.distance) continue
      }
      const found = onSegment(mouth, from, to)
      if (!best || found.distance < best.distance) best = { ...found, normal: fromMouthFrame(mouth, found.normal), segment: i, turn }
    }
    if (closed && best && best.distance > 0 && encloses(flat, [0, 0])) best = { ...best, distance: -Math.min(mouth.a, mouth.b), turn }
  }
  if (!best) throw new Error('a mark without vertices has no distance')
  return best
}

/**
 * Does a straight line on the map from `end`, its direction within +-spread of the given one, meet the mouth?
 * `direction` is (around, along); only the nearest copy of the hole counts.
 */
export function aimsAt(surface: Surface, mouth: Mouth, end: MapPoint, direction: readonly [number, number], spread: number): boolean {
  const turn = Math.round((end.theta - mouth.centre.theta) / (2 * Math.PI))
  const [x, y] = toMouthFrame(surface, mouth, end, turn)
  if ((x / mouth.a) ** 2 + (y / mouth.b) ** 2 <= 1) return true
  // in the frame where the mouth is the unit circle the tangents are known; directions are compared in mm
  const u = x / mouth.a
  const v = y / mouth.b
  const far = Math.hypot(u, v)
  const half = Math.acos(1 / far)
  const towards = Math.atan2(v, u)
  const [dx, dy] = toMouthDirection(mouth, direction)
  const heading = Math.atan2(dy, dx)
  const centre = Math.atan2(-y, -x)
  const tangents = [towards + half, towards - half].map((angle) =>
    wrapped(Math.atan2(mouth.b * Math.sin(angle) - y, mouth.a * Math.cos(angle) - x) - centre),
  )
  const off = wrapped(heading - centre)
  return off >= Math.min(...tangents) - spread && off <= Math.max(...tangents) + spread
}

function onSegment(mouth: Mouth, from: [number, number], to: [number, number]): { distance: number; t: number; normal: [number, number] } {
  const dx = to[0] - from[0]
  const dy = to[1] - from[1]
  const at = (t: number) => {
    const { distance, normal } = ellipseDistance(mouth, from[0] + t * dx, from[1] + t * dy)
    return { distance, normal, slope: normal[0] * dx + normal[1] * dy, t }
  }
  const start = at(0)
  if (start.slope >= 0) return start
  const end = at(1)
  if (end.slope <= 0) return end
  let low = 0
  let high = 1
  let middle = at(0.5)
  for (let i = 0; i < 52; i++) {
    if (middle.slope < 0) low = middle.t
    else high = middle.t
    middle = at((low + high) / 2)
    if (Math.abs(middle.slope) < 1e-14) break
  }
  return middle
}

function turnsNear(mouth: Mouth, vertices: readonly MapPoint[]): number[] {
  const turns = new Set<number>()
  for (const { theta } of vertices) {
    const turn = (theta - mouth.centre.theta) / (2 * Math.PI)
    turns.add(Math.floor(turn))
    turns.add(Math.ceil(turn))
  }
  return [...turns].sort((a, b) => a - b)
}

function toMouthFrame(surface: Surface, mouth: Mouth, point: MapPoint, turn: number): [number, number] {
  return toMouthDirection(mouth, [surface.radius * (point.theta - mouth.centre.theta - turn * 2 * Math.PI), point.s - mouth.centre.s])
}

/** (around, along) into components across and along the turned mouth. */
function toMouthDirection(mouth: Mouth, [around, along]: readonly [number, number]): [number, number] {
  const c = Math.cos(mouth.tilt)
  const s = Math.sin(mouth.tilt)
  return [around * c - along * s, around * s + along * c]
}

function fromMouthFrame(mouth: Mouth, [across, along]: readonly [number, number]): [number, number] {
  const c = Math.cos(mouth.tilt)
  const s = Math.sin(mouth.tilt)
  return [across * c + along * s, -across * s + along * c]
}
