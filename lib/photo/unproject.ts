/** From a pixel to the journal's map: the first place where the pixel's ray enters the metal. */
import { type MapPoint, type Surface, sOfAxial } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import { done, failed, type Result } from '../model/result'
import { type Camera, type PhotoPoint, pixelRay } from './camera'

/** `misses`: the ray passes the journal by; `beyond-cheek`: it meets the cylinder's extension past the front or rear cheek. */
export type UnprojectFailure = { code: 'misses' } | { code: 'beyond-cheek'; end: 'front' | 'rear' }

export function pixelToMap(surface: Surface, camera: Camera, pixel: PhotoPoint): Result<MapPoint, UnprojectFailure> {
  const ray = pixelRay(camera, pixel)
  return rayToMap(surface, ray.origin, ray.direction)
}

/** The same for a ray in the journal frame. The angle lies in (-pi, pi]. */
export function rayToMap(surface: Surface, origin: Vec3, direction: Vec3): Result<MapPoint, UnprojectFailure> {
  const hits: { t: number; axial: number }[] = []
  const onCylinder = nearCylinderHit(origin, direction, surface.radius)
  if (onCylinder !== null) {
    const axial = origin[2] + onCylinder * direction[2]
    if (axial >= surface.frontTangentZ && axial <= surface.rearTangentZ) hits.push({ t: onCylinder, axial })
    else if (surface.front.form === 'undercut' && axial >= 0 && axial <= surface.frontTangentZ) hits.push({ t: onCylinder, axial })
    else if (surface.rear.form === 'undercut' && axial >= surface.rearTangentZ && axial <= surface.width)
      hits.push({ t: onCylinder, axial })
  }
  for (const end of ['front', 'rear'] as const) {
    const t = torusHit(surface, end, origin, direction)
    if (t !== null) hits.push({ t, axial: origin[2] + t * direction[2] })
  }
  if (hits.length > 0) {
    const first = hits.reduce((a, b) => (a.t < b.t ? a : b))
    const x = origin[0] + first.t * direction[0]
    const y = origin[1] + first.t * direction[1]
    return done({ theta: Math.atan2(y, x), s: sOfAxial(surface, first.axial) })
  }
  if (onCylinder === null) return failed({ code: 'misses' })
  return failed({ code: 'beyond-cheek', end: origin[2] + onCylinder * direction[2] < surface.width / 2 ? 'front' : 'rear' })
}

/** Distance along the ray to the near side of a cylinder about the z axis; null where it passes by or looks from inside. */
export function nearCylinderHit(origin: Vec3, direction: Vec3, radius: number): number | null {
  const a = direction[0] ** 2 + direction[1] ** 2
  const b = origin[0] * direction[0] + origin[1] * direction[1]
  const c = origin[0] ** 2 + origin[1] ** 2 - radius * radius
  const root = b * b - a * c
  if (!(a > 0) || root < 0 || c < 0) return null
  const t = (-b - Math.sqrt(root)) / a
  return t > 0 ? t : null
}

/**
 * First entry of a ray into a quarter-torus fillet. On the stretch of the ray between tangent line and cheek the
 * function hypot(x, y) - rho(z) is searched for its first change from outside to inside, then bisected.
 */
function torusHit(surface: Surface, end: 'front' | 'rear', origin: Vec3, direction: Vec3): number | null {
  const { radius } = surface[end]
  if (radius === 0) return null
  const cheekZ = end === 'front' ? 0 : surface.width
  const tangentZ = end === 'front' ? surface.frontTangentZ : surface.rearTangentZ
  const span = stretchBetween(origin, direction, cheekZ, tangentZ, surface.radius + radius)
  if (!span) return null
  const height = (t: number): number => {
    const fromCheek = Math.min(radius, Math.max(0, Math.abs(origin[2] + t * direction[2] - cheekZ)))
    const drop = Math.sqrt(fromCheek * (2 * radius - fromCheek))
    return Math.hypot(origin[0] + t * direction[0], origin[1] + t * direction[1]) - (surface.radius + radius - drop)
  }
  const steps = 48
  let previous = span[0]
  // a ray that comes in through the cheek plane below the fillet's rim starts inside the metal and sees nothing here
  if (height(previous) < 0) return null
  for (let i = 1; i <= steps; i++) {
    const t = span[0] + ((span[1] - span[0]) * i) / steps
    if (height(t) <= 0) return bisect(height, previous, t)
    previous = t
  }
  return null
}

/** The part of the ray with z between two planes and within a radius of the axis. */
function stretchBetween(origin: Vec3, direction: Vec3, zA: number, zB: number, within: number): [number, number] | null {
  let from = 0
  let to = Number.POSITIVE_INFINITY
  if (Math.abs(direction[2]) > 1e-15) {
    const a = (zA - origin[2]) / direction[2]
    const b = (zB - origin[2]) / direction[2]
    from = Math.max(from, Math.min(a, b))
    to = Math.min(to, Math.max(a, b))
  } else if ((origin[2] - zA) * (origin[2] - zB) > 0) return null
  const a = direction[0] ** 2 + direction[1] ** 2
  const b = origin[0] * direction[0] + origin[1] * direction[1]
  const c = origin[0] ** 2 + origin[1] ** 2 - within * within
  const root = b * b - a * c
  if (!(a > 0) || root < 0) return null
  from = Math.max(from, (-b - Math.sqrt(root)) / a)
  to = Math.min(to, (-b + Math.sqrt(root)) / a)
  return from < to && Number.isFinite(to) ? [from, to] : null
}

function bisect(f: (t: number) => number, outside: number, inside: number): number {
  let a = outside
  let b = inside
  for (let i = 0; i < 60 && b - a > 1e-13 * (1 + Math.abs(b)); i++) {
    const mid = (a + b) / 2
    if (f(mid) > 0) a = mid
    else b = mid
  }
  return (a + b) / 2
}
