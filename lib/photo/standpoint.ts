/**
 * Where a photograph is taken from, in a person's terms: the angle about the journal, how far it leans towards an end, and how near it is in
 * terms of what fills the picture. The camera looks at the middle of the journal; it is held so that the longer side of what is shown lies
 * along the longer side of the picture.
 */
import { radiusAt, type Surface } from '../journal/surface'
import { cross, dot, scale, unit, type Vec3 } from '../journal/vector'
import { type Camera, cameraPlace, project } from './camera'

/** px, of pictures as they have been taken so far. */
export type Lens = { width: number; height: number; focalPx: number }

/** `whole`: the whole journal, cheek to cheek, fills the picture. `close`: its width does, with a sixth of the turn. */
export type Nearness = 'whole' | 'close'

/** `facingDeg`: the generator that faces the camera, 0..360. `leanDeg`: from square on, positive towards the rear, so that one looks into the front fillet. */
export type Standpoint = { facingDeg: number; leanDeg: number; nearness: Nearness }

/** Share of the picture that is filled (common practice, no source). */
const filled = 0.85
/** Nearer than this from the metal a phone's main camera does not focus, mm (common practice, no source). */
const nearestMm = 100
const furthestDiameters = 60
const closeHalfTurn = Math.PI / 6

/** The camera that stands there, without distortion. */
export function cameraAt(surface: Surface, lens: Lens, { facingDeg, leanDeg, nearness }: Standpoint): Camera {
  const facing = (facingDeg * Math.PI) / 180
  const shown = nearness === 'whole' ? wholeOutline(surface) : closeOutline(surface, facing)
  const cameras = (distance: number) =>
    ([false, true] as const).map((turned) => looking(lens, surface, facing, (leanDeg * Math.PI) / 180, distance, turned))
  const fits = (distance: number) => cameras(distance).find((camera) => within(camera, shown)) ?? null
  let near = surface.radius + nearestMm
  let far = furthestDiameters * (2 * surface.radius + surface.width)
  const nearest = fits(near)
  if (nearest) return nearest
  for (let i = 0; i < 30; i++) {
    const middle = Math.sqrt(near * far)
    if (fits(middle)) far = middle
    else near = middle
  }
  return fits(far) ?? cameras(far)[0]
}

/** From where a photograph was taken: angle about the journal and lean in degrees, and px per mm on the metal before the camera. */
export function standpointOf(surface: Surface, camera: Camera): { facingDeg: number; leanDeg: number; pxPerMm: number } {
  const [x, y, z] = cameraPlace(camera)
  const off = Math.hypot(x, y)
  return {
    facingDeg: ((((Math.atan2(y, x) * 180) / Math.PI) % 360) + 360) % 360,
    leanDeg: (Math.atan2(z - surface.width / 2, off) * 180) / Math.PI,
    pxPerMm: camera.focalPx / Math.max(1e-9, Math.hypot(off - surface.radius, z - surface.width / 2)),
  }
}

function looking(lens: Lens, surface: Surface, facing: number, lean: number, distance: number, turned: boolean): Camera {
  const outward: Vec3 = [Math.cos(lean) * Math.cos(facing), Math.cos(lean) * Math.sin(facing), Math.sin(lean)]
  const centre: Vec3 = [outward[0] * distance, outward[1] * distance, outward[2] * distance + surface.width / 2]
  const ahead = scale(outward, -1)
  const across: Vec3 = [-Math.sin(facing), Math.cos(facing), 0]
  const right = turned ? unit(cross(ahead, across)) : across
  const down = cross(ahead, right)
  return {
    ...lens,
    k1: 0,
    rotation: [...right, ...down, ...ahead],
    translation: [-dot(right, centre), -dot(down, centre), -dot(ahead, centre)],
  }
}

function within(camera: Camera, shown: readonly Vec3[]): boolean {
  return shown.every((point) => {
    const seen = project(camera, point)
    if (!seen) return false
    return (
      Math.abs(seen.u - camera.width / 2) <= (filled * camera.width) / 2 &&
      Math.abs(seen.v - camera.height / 2) <= (filled * camera.height) / 2
    )
  })
}

function wholeOutline(surface: Surface): Vec3[] {
  return rims(surface).flatMap(([rho, z]) => Array.from({ length: 24 }, (_, i): Vec3 => around(rho, z, (i * Math.PI) / 12)))
}

function closeOutline(surface: Surface, facing: number): Vec3[] {
  return rims(surface).flatMap(([rho, z]) => [-1, 0, 1].map((side): Vec3 => around(rho, z, facing + side * closeHalfTurn)))
}

function rims(surface: Surface): [rho: number, z: number][] {
  return [
    [radiusAt(surface, 0), 0],
    [radiusAt(surface, surface.totalS), surface.width],
  ]
}

function around(rho: number, z: number, theta: number): Vec3 {
  return [rho * Math.cos(theta), rho * Math.sin(theta), z]
}

/** How far two angles are apart, degrees, 0..180. */
export function apartDeg(one: number, other: number): number {
  const off = Math.abs(one - other) % 360
  return Math.min(off, 360 - off)
}
