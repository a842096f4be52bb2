/** A camera before a place of the journal, near enough that the sides lie outside the picture: what a search sets out from. */
import { type Surface, surfacePoint } from '../journal/surface'
import { add, apply, cross, dot, type Mat3, scale, subtract, unit, type Vec3 } from '../journal/vector'
import type { Camera } from './camera'

export type CloseUpPose = {
  /** Place of the cylinder in the middle of the picture. */
  theta: number
  s: number
  /** Px of the photograph to a mm there. */
  pxPerMm: number
  /** Direction of the picture's right on the map, radians: 0 to the rear, growing towards greater angles. */
  right: number
  /** How far the camera stands off the surface's normal, towards greater angles and towards the rear: tangents. */
  leanAround: number
  leanAlong: number
}

export type Lens = { width: number; height: number; focalPx: number; k1: number }

export function closeUpCamera(surface: Surface, pose: CloseUpPose, lens: Lens): Camera {
  const { theta, s, pxPerMm, right, leanAround, leanAlong } = pose
  const around: Vec3 = [-Math.sin(theta), Math.cos(theta), 0]
  const along: Vec3 = [0, 0, 1]
  const outward = unit(add([Math.cos(theta), Math.sin(theta), 0], add(scale(around, leanAround), scale(along, leanAlong))))
  const target = surfacePoint(surface, { theta, s })
  const place = add(target, scale(outward, lens.focalPx / pxPerMm))
  const ahead = scale(outward, -1)
  const wanted = add(scale(along, Math.cos(right)), scale(around, Math.sin(right)))
  const x = unit(subtract(wanted, scale(ahead, dot(wanted, ahead))))
  const y = cross(ahead, x)
  const rotation: Mat3 = [...x, ...y, ...ahead]
  return { ...lens, rotation, translation: scale(apply(rotation, place), -1) }
}
