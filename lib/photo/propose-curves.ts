/** Places on the sides and rings of a journal as a camera sees them, with the picture direction across each: where edges are looked for. */
import { type MapPoint, type Surface, surfaceNormal, surfacePoint } from '../journal/surface'
import { dot, subtract, type Vec3 } from '../journal/vector'
import type { Handles } from '../model/photo'
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

/** Handles where a camera sees the sides and the tangent lines; null from inside the metal. */
export function outlineHandles(surface: Surface, camera: Camera): Handles | null {
  const facing = facingOf(surface, camera)
  if (!facing) return null
  const middles = Array.from({ length: handlesOfCurve }, (_, i) => (i + 0.5) / handlesOfCurve)
  const seen = (places: MapPoint[]) =>
    places.flatMap((place): [number, number][] => {
      const pixel = project(camera, surfacePoint(surface, place))
      return pixel && pixel.u >= 0 && pixel.v >= 0 && pixel.u < camera.width && pixel.v < camera.height ? [[pixel.u, pixel.v]] : []
    })
  const side = (hand: 1 | -1) =>
    seen(
      middles.map((k) => ({
        theta: facing.middle + hand * facing.half,
        s: surface.frontTangentS + k * (surface.rearTangentS - surface.frontTangentS),
      })),
    )
  const ring = (s: number) =>
    seen(middles.map((k) => ({ theta: facing.middle + 1.6 * (k - 0.5) * facing.half, s })).filter((place) => faces(surface, camera, place)))
  return {
    sides: [side(-1), side(1)],
    rings: [
      { at: 'front-fillet' as const, points: ring(surface.frontTangentS) },
      { at: 'rear-fillet' as const, points: ring(surface.rearTangentS) },
    ].filter(({ points }) => points.length > 0),
    oilHoles: [],
    clock: [],
    strip: null,
  }
}

const handlesOfCurve = 6

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
