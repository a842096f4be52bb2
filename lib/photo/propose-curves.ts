/** Places on the sides and rings of a journal as a camera sees them, with the picture direction across each: where edges are looked for. */
import { type MapPoint, type Surface, surfaceNormal, surfacePoint } from '../journal/surface'
import { dot, subtract, type Vec3 } from '../journal/vector'
import { type Camera, cameraPlace, project } from './camera'
import type { Crossing } from './snap-profile'

export type Facing = { middle: number; half: number }

/** The angles that face the camera on the cylinder; null from inside the metal. */
export function facingOf(surface: Surface, camera: Camera): Facing | null {
  const [x, y] = cameraPlace(camera)
  const distance = Math.hypot(x, y)
  return distance > surface.radius ? { middle: Math.atan2(y, x), half: Math.acos(surface.radius / distance) } : null
}

/** A stretch of a side between two meridian places; `across` points away from the journal. */
export function sideStretch(
  surface: Surface,
  camera: Camera,
  facing: Facing,
  side: 1 | -1,
  fromS: number,
  toS: number,
  count: number,
): Crossing[] {
  const theta = facing.middle + side * facing.half
  const inside = facing.middle + side * (facing.half - 0.15)
  return stretch(camera, count, (share) => {
    const s = fromS + share * (toS - fromS)
    return [surfacePoint(surface, { theta, s }), surfacePoint(surface, { theta, s: s + 0.05 }), surfacePoint(surface, { theta: inside, s })]
  })
}

/** A stretch of a ring between two angles; `across` points along the axis, away from the middle of the journal. */
export function ringStretch(surface: Surface, camera: Camera, s: number, fromTheta: number, toTheta: number, count: number): Crossing[] {
  const middleS = surface.totalS / 2
  return stretch(camera, count, (share) => {
    const theta = fromTheta + share * (toTheta - fromTheta)
    const at: MapPoint = { theta, s }
    return [
      surfacePoint(surface, at),
      surfacePoint(surface, { theta: theta + 0.002, s }),
      surfacePoint(surface, { theta, s: s + 0.02 * (middleS - s) }),
    ]
  })
}

/** Does a place face the camera, at least so far? */
export function faces(surface: Surface, camera: Camera, at: MapPoint, least = 0.1): boolean {
  const towards = subtract(cameraPlace(camera), surfacePoint(surface, at))
  return dot(towards, surfaceNormal(surface, at)) > least * Math.hypot(...towards)
}

function stretch(camera: Camera, count: number, triple: (share: number) => [at: Vec3, along: Vec3, inside: Vec3]): Crossing[] {
  const found: Crossing[] = []
  for (let i = 0; i < count; i++) {
    const [at, along, inside] = triple(count === 1 ? 0.5 : i / (count - 1)).map((point) => project(camera, point))
    if (!at || !along || !inside) continue
    const du = along.u - at.u
    const dv = along.v - at.v
    const size = Math.hypot(du, dv)
    if (size === 0) continue
    const away = (inside.u - at.u) * -dv + (inside.v - at.v) * du > 0 ? -1 : 1
    found.push({ u: at.u, v: at.v, across: [(-away * dv) / size, (away * du) / size] })
  }
  return found
}
