/** Where a camera would see handles that are not picked yet: for working out what they would tell. */
import { ringOf, type Surface, sOfAxial, surfaceNormal, surfacePoint } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import { type Camera, cameraPlace, project } from './camera'
import type { ContourSigns } from './fit-task'
import type { Observation } from './observation'

type View = { camera: Camera; surface: Surface; contourSigns: ContourSigns; slideKnown: boolean }

/** Points of both apparent sides, evenly along the cylinder. */
export function expectedSides(fit: View, count: number): [Observation[], Observation[]] {
  const place = cameraPlace(fit.camera)
  const half = Math.acos(Math.min(1, fit.surface.radius / Math.hypot(place[0], place[1])))
  const { frontTangentZ, rearTangentZ } = fit.surface
  // without a known slide the bare cylinder is long: take what lies before the camera
  const [from, to] = fit.slideKnown ? [frontTangentZ, rearTangentZ] : [place[2] - fit.surface.radius / 2, place[2] + fit.surface.radius / 2]
  const side = (list: 0 | 1) =>
    Array.from({ length: count }, (_, i): Observation[] => {
      const theta = Math.atan2(place[1], place[0]) + fit.contourSigns[list] * half
      const z = from + ((to - from) * (i + 0.5)) / count
      const seen = inPicture(fit, [fit.surface.radius * Math.cos(theta), fit.surface.radius * Math.sin(theta), z])
      return seen ? [{ type: 'contour', list, handle: { kind: 'side', list, index: i }, ...seen }] : []
    }).flat()
  return [side(0), side(1)]
}

/** Points of a tangent line where it faces the camera. */
export function expectedRing(fit: View, at: 'front-fillet' | 'rear-fillet', count: number): Observation[] {
  const { axial, radius } = ringOf(fit.surface, at)
  const place = cameraPlace(fit.camera)
  const middle = Math.atan2(place[1], place[0])
  const half = Math.acos(Math.min(1, radius / Math.hypot(place[0], place[1])))
  return Array.from({ length: count }, (_, i): Observation[] => {
    const theta = middle + half * (-0.8 + (1.6 * i) / (count - 1))
    const seen = inPicture(fit, [radius * Math.cos(theta), radius * Math.sin(theta), axial])
    return seen ? [{ type: 'circle', at, handle: { kind: 'ring', ring: 0, at, index: i }, ...seen }] : []
  }).flat()
}

/** A hole's middle or a witness mark, if it faces the camera. */
export function expectedPoint(fit: View, kind: 'oilHole' | 'clock', id: string, theta: number, axial: number): Observation[] {
  const at = { theta, s: sOfAxial(fit.surface, axial) }
  const point = surfacePoint(fit.surface, at)
  const normal = surfaceNormal(fit.surface, at)
  const place = cameraPlace(fit.camera)
  const faces = normal[0] * (place[0] - point[0]) + normal[1] * (place[1] - point[1]) + normal[2] * (place[2] - point[2]) > 0
  const seen = faces ? inPicture(fit, point) : null
  if (!seen) return []
  const handle = kind === 'oilHole' ? { kind, index: 0, id } : { kind, index: 0, angleDeg: (theta * 180) / Math.PI, axial }
  return [{ type: 'point', theta, axial, handle, ...seen }]
}

function inPicture(fit: View, point: Vec3): { u: number; v: number } | null {
  const seen = project(fit.camera, point)
  if (!seen || seen.u < 0 || seen.v < 0 || seen.u > fit.camera.width || seen.v > fit.camera.height) return null
  return seen
}
