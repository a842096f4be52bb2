/**
 * The journal's surface of revolution and its map.
 *
 * Journal frame: origin on the axis at the front cheek plane, +Z to the rear. Map: angle theta (radians) and
 * meridian arc length s (mm) from the front cheek end. A `tangent` end is a quarter torus of radius r: at axial
 * z < r the surface radius is R + r - sqrt(r^2 - (r - z)^2). With a = s / r counted from the cheek that is
 * z = r (1 - cos a), rho = R + r (1 - sin a). An `undercut` end runs straight on at radius R; a `step` end has no width.
 */
import type { Journal, JournalEnd } from '../model/journal'
import type { Vec3 } from './vector'

/** A place on the map: radians, mm of meridian arc from the front cheek end. */
export type MapPoint = { theta: number; s: number }

export type SurfaceEnd = {
  form: JournalEnd['form']
  /** Fillet radius, mm; 0 where the end is no quarter torus. */
  radius: number
  /** Standard deviation of that radius, mm. */
  radiusSigma: number
  /** From the cheek to the tangent line along the axis, mm. */
  extentZ: number
  /** The same along the meridian, mm. */
  extentS: number
}

export type Surface = {
  radius: number
  width: number
  front: SurfaceEnd
  rear: SurfaceEnd
  /** Meridian arc length from cheek to cheek, mm. */
  totalS: number
  frontTangentZ: number
  rearTangentZ: number
  frontTangentS: number
  rearTangentS: number
}

export function surfaceOf(journal: Pick<Journal, 'diameter' | 'width' | 'fillets'>): Surface {
  return surfaceFromEnds(journal.diameter / 2, journal.width, endOf(journal.fillets.front), endOf(journal.fillets.rear))
}

/** The same surface with other fillet radii: what the fit needs where a radius is itself uncertain. Ends that are no torus stay. */
export function withFilletRadii(surface: Surface, frontRadius: number, rearRadius: number): Surface {
  const front = surface.front.form === 'tangent' ? tangentEnd(frontRadius, surface.front.radiusSigma) : surface.front
  const rear = surface.rear.form === 'tangent' ? tangentEnd(rearRadius, surface.rear.radiusSigma) : surface.rear
  return surfaceFromEnds(surface.radius, surface.width, front, rear)
}

/** Meridian arc length of an axial place, both in mm. Outside 0..W it runs straight on. */
export function sOfAxial(surface: Surface, axial: number): number {
  const { front, rear, width } = surface
  if (axial < 0) return axial
  if (axial > width) return surface.totalS + axial - width
  if (axial < front.extentZ) return arcFromCheek(front, axial)
  if (axial > width - rear.extentZ) return surface.totalS - arcFromCheek(rear, width - axial)
  return surface.frontTangentS + (axial - surface.frontTangentZ)
}

/** Axial place of a meridian arc length, both in mm. */
export function axialOfS(surface: Surface, s: number): number {
  const { front, rear, width, totalS } = surface
  if (s < 0) return s
  if (s > totalS) return width + s - totalS
  if (s < front.extentS) return axialFromArc(front, s)
  if (s > totalS - rear.extentS) return width - axialFromArc(rear, totalS - s)
  return surface.frontTangentZ + (s - surface.frontTangentS)
}

/** True radius rho at a meridian arc length, mm. */
export function radiusAt(surface: Surface, s: number): number {
  const { front, rear, totalS, radius } = surface
  if (front.radius > 0 && s < front.extentS) return radius + front.radius * (1 - Math.sin(Math.max(0, s) / front.radius))
  if (rear.radius > 0 && s > totalS - rear.extentS) return radius + rear.radius * (1 - Math.sin(Math.max(0, totalS - s) / rear.radius))
  return radius
}

/** The place in the journal frame, mm. */
export function surfacePoint(surface: Surface, { theta, s }: MapPoint): Vec3 {
  const rho = radiusAt(surface, s)
  return [rho * Math.cos(theta), rho * Math.sin(theta), axialOfS(surface, s)]
}

/** Unit normal, outward from the metal, in the journal frame. */
export function surfaceNormal(surface: Surface, { theta, s }: MapPoint): Vec3 {
  const [dRho, dZ] = meridianTangent(surface, s)
  return [dZ * Math.cos(theta), dZ * Math.sin(theta), -dRho]
}

/** Unit tangent of the meridian towards the rear: change of radius and of axial place with s. */
export function meridianTangent(surface: Surface, s: number): [dRho: number, dZ: number] {
  const { front, rear, totalS } = surface
  if (front.radius > 0 && s < front.extentS) {
    const a = Math.max(0, s) / front.radius
    return [-Math.cos(a), Math.sin(a)]
  }
  if (rear.radius > 0 && s > totalS - rear.extentS) {
    const a = Math.max(0, totalS - s) / rear.radius
    return [Math.cos(a), Math.sin(a)]
  }
  return [0, 1]
}

/** Axial place and radius of a named ring or of an inked line, mm. */
export function ringOf(
  surface: Surface,
  at: 'front-cheek' | 'front-fillet' | 'rear-fillet' | 'rear-cheek' | number,
): { axial: number; radius: number } {
  if (at === 'front-cheek') return { axial: 0, radius: surface.radius + surface.front.radius }
  if (at === 'rear-cheek') return { axial: surface.width, radius: surface.radius + surface.rear.radius }
  if (at === 'front-fillet') return { axial: surface.frontTangentZ, radius: surface.radius }
  if (at === 'rear-fillet') return { axial: surface.rearTangentZ, radius: surface.radius }
  return { axial: at, radius: radiusAt(surface, sOfAxial(surface, at)) }
}

function surfaceFromEnds(radius: number, width: number, front: SurfaceEnd, rear: SurfaceEnd): Surface {
  const cylinder = width - front.extentZ - rear.extentZ
  return {
    radius,
    width,
    front,
    rear,
    totalS: front.extentS + cylinder + rear.extentS,
    frontTangentZ: front.extentZ,
    rearTangentZ: width - rear.extentZ,
    frontTangentS: front.extentS,
    rearTangentS: front.extentS + cylinder,
  }
}

function endOf(end: JournalEnd): SurfaceEnd {
  if (end.form === 'tangent') return tangentEnd(end.radius, end.sigma ?? 0)
  const width = end.form === 'undercut' ? end.width : 0
  return { form: end.form, radius: 0, radiusSigma: 0, extentZ: width, extentS: width }
}

function tangentEnd(radius: number, radiusSigma: number): SurfaceEnd {
  return { form: 'tangent', radius, radiusSigma, extentZ: radius, extentS: (radius * Math.PI) / 2 }
}

function arcFromCheek(end: SurfaceEnd, fromCheek: number): number {
  // atan2 keeps full precision at the cheek, where acos(1 - z / r) would lose half the digits
  const { radius } = end
  return end.form === 'tangent' ? radius * Math.atan2(Math.sqrt(fromCheek * (2 * radius - fromCheek)), radius - fromCheek) : fromCheek
}

function axialFromArc(end: SurfaceEnd, arc: number): number {
  return end.form === 'tangent' ? 2 * end.radius * Math.sin(arc / (2 * end.radius)) ** 2 : arc
}
