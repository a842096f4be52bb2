/**
 * Pinhole camera with the principal point at the image centre and optional radial k1:
 * x_d = x (1 + k1 (x^2 + y^2)) in normalised coordinates (the first term of D. C. Brown, "Close-range camera
 * calibration", 1971, in the form that photogrammetry libraries share). x right, y down, z forward.
 */
import type { Mat3, Vec3 } from '../journal/vector'
import { apply, applyTransposed, multiply, rotationOf, scale } from '../journal/vector'

/** A place in a photograph, px from the top-left corner of the top-left pixel, after EXIF orientation. */
export type PhotoPoint = { u: number; v: number }

export type Camera = {
  width: number
  height: number
  focalPx: number
  k1: number
  /** Row-major, journal frame to camera frame. */
  rotation: Mat3
  /** Journal origin in the camera frame, mm. */
  translation: Vec3
}

/** Diagonal of the 36 x 24 mm frame (CIPA DCG-001: equal diagonal angle of view). */
const frameDiagonalMm = 43.267

/** Focal length in px of a 35 mm equivalent, taken on the diagonal. */
export function focalPxOf35(focal35Mm: number, width: number, height: number): number {
  return (focal35Mm * Math.hypot(width, height)) / frameDiagonalMm
}

/** Where a point of the journal frame is seen; null where it lies behind the camera. */
export function project(camera: Camera, point: Vec3): PhotoPoint | null {
  const [x, y, z] = toCamera(camera, point)
  if (z <= 1e-9) return null
  const xn = x / z
  const yn = y / z
  const k = camera.focalPx * (1 + camera.k1 * (xn * xn + yn * yn))
  return { u: camera.width / 2 + k * xn, v: camera.height / 2 + k * yn }
}

/** The ray of a pixel in the journal frame: the camera's place and a unit direction. */
export function pixelRay(camera: Camera, pixel: PhotoPoint): { origin: Vec3; direction: Vec3 } {
  const [x, y] = undistorted(camera, pixel)
  const k = 1 / Math.sqrt(x * x + y * y + 1)
  return { origin: cameraPlace(camera), direction: applyTransposed(camera.rotation, [x * k, y * k, k]) }
}

/** The camera when a turn about the shaft, radians, is added to the angles of what it sees. */
export function turnedCamera(camera: Camera, turn: number): Camera {
  return { ...camera, rotation: multiply(camera.rotation, rotationOf([0, 0, -turn])) }
}

/** The camera's centre in the journal frame, mm. */
export function cameraPlace(camera: Camera): Vec3 {
  return applyTransposed(camera.rotation, scale(camera.translation, -1))
}

/** Normalised coordinates of a pixel with the distortion taken off (Newton on the radius). */
export function undistorted(camera: Pick<Camera, 'width' | 'height' | 'focalPx' | 'k1'>, pixel: PhotoPoint): [number, number] {
  const x = (pixel.u - camera.width / 2) / camera.focalPx
  const y = (pixel.v - camera.height / 2) / camera.focalPx
  if (camera.k1 === 0) return [x, y]
  const distortedRadius = Math.hypot(x, y)
  if (distortedRadius === 0) return [0, 0]
  let radius = distortedRadius
  for (let i = 0; i < 30; i++) {
    const slope = 1 + 3 * camera.k1 * radius * radius
    // past its turning point the model folds back on itself: keep to the branch through the centre
    const step = (radius * (1 + camera.k1 * radius * radius) - distortedRadius) / Math.max(0.1, slope)
    radius -= step
    if (Math.abs(step) < 1e-15 * (1 + radius)) break
  }
  return [(x * radius) / distortedRadius, (y * radius) / distortedRadius]
}

export function toCamera(camera: Pick<Camera, 'rotation' | 'translation'>, point: Vec3): Vec3 {
  const turned = apply(camera.rotation, point)
  return [turned[0] + camera.translation[0], turned[1] + camera.translation[1], turned[2] + camera.translation[2]]
}

/**
 * How a place is seen, with what its derivatives are made of; a scratch that the next sight writes over:
 * u, v (px); x/z, y/z; 1/z (z forward, mm); f times the symmetric 2 x 2 derivative of the distorted by the undistorted
 * coordinates (xx, xy, yy); f r^2.
 */
export type Sight = Float64Array

export function emptySight(): Sight {
  return new Float64Array(9)
}

/** False where the place (journal frame, mm) lies behind the camera. */
export function look(camera: Camera, x: number, y: number, z: number, into: Sight): boolean {
  const r = camera.rotation
  const t = camera.translation
  const depth = r[6] * x + r[7] * y + r[8] * z + t[2]
  if (!(depth > 1e-9)) return false
  const near = 1 / depth
  const xn = (r[0] * x + r[1] * y + r[2] * z + t[0]) * near
  const yn = (r[3] * x + r[4] * y + r[5] * z + t[1]) * near
  const f = camera.focalPx
  const square = xn * xn + yn * yn
  const k = 1 + camera.k1 * square
  const bend = 2 * camera.k1 * f
  into[0] = camera.width / 2 + f * k * xn
  into[1] = camera.height / 2 + f * k * yn
  into[2] = xn
  into[3] = yn
  into[4] = near
  into[5] = f * k + bend * xn * xn
  into[6] = bend * xn * yn
  into[7] = f * k + bend * yn * yn
  into[8] = f * square
  return true
}
