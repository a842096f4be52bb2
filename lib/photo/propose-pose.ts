/**
 * A guess of where a journal lies before its camera: the middle of the journal in the picture, the direction of its axis there, how
 * far away and how much turned towards the camera. The sense (which end is the front) and the roll are left for later.
 */
import type { Surface } from '../journal/surface'
import { add, cross, dot, type Mat3, norm, scale, subtract, unit, type Vec3 } from '../journal/vector'
import type { Camera } from './camera'
import { project, toCamera, undistorted } from './camera'

export type PoseGuess = {
  /** Middle of the journal's axis in the picture, px. */
  u: number
  v: number
  /** Direction of the axis in the picture, towards the rear, radians from picture right to picture down. */
  along: number
  /** The axis against the plane square to the line of sight, radians; positive: the rear end is further away. */
  tilt: number
  /** From the camera to the middle, mm. */
  distance: number
  focalPx: number
}

export type Frame = { width: number; height: number; k1: number }

/** The camera of a guess, angle zero of the journal towards the camera. */
export function cameraOfGuess(guess: PoseGuess, surface: Surface, frame: Frame): Camera {
  const lens = { ...frame, focalPx: guess.focalPx }
  const sight = unit([...undistorted(lens, guess), 1] as Vec3)
  const flat: Vec3 = [Math.cos(guess.along), Math.sin(guess.along), 0]
  // square to the line of sight, and seen in the picture along the given direction
  const off = flat[0] * sight[0] + flat[1] * sight[1]
  const square = unit(subtract(flat, scale(sight, off)))
  const axis = add(scale(square, Math.cos(guess.tilt)), scale(sight, Math.sin(guess.tilt)))
  const middle = scale(sight, guess.distance)
  const towards = subtract(scale(axis, guess.distance * Math.sin(guess.tilt)), middle)
  const x = unit(norm(towards) > 1e-9 ? towards : cross(axis, [1, 0, 0]))
  const y = cross(axis, x)
  const rotation: Mat3 = [x[0], y[0], axis[0], x[1], y[1], axis[1], x[2], y[2], axis[2]]
  return { ...lens, rotation, translation: subtract(middle, scale(axis, surface.width / 2)) }
}

/** The guess that a camera makes; null where the journal lies behind it. */
export function guessOfCamera(camera: Camera, surface: Surface): PoseGuess | null {
  const middle = toCamera(camera, [0, 0, surface.width / 2])
  const pixel = project(camera, [0, 0, surface.width / 2])
  if (!pixel) return null
  const distance = norm(middle)
  const axis: Vec3 = [camera.rotation[2], camera.rotation[5], camera.rotation[8]]
  const away = dot(axis, middle) / distance
  // the axis square to the line of sight, as it is seen in the picture
  const flat = subtract(axis, scale(middle, away / distance))
  return {
    ...pixel,
    along: Math.atan2(flat[1] * middle[2] - flat[2] * middle[1], flat[0] * middle[2] - flat[2] * middle[0]),
    tilt: Math.asin(away),
    distance,
    focalPx: camera.focalPx,
  }
}

/** How far away a cylinder's middle is whose sides stand `acrossPx` apart. */
export function distanceFor(acrossPx: number, radius: number, tilt: number, focalPx: number): number {
  return radius / (Math.sin(Math.atan(acrossPx / (2 * focalPx))) * Math.cos(tilt))
}

/** The guess with its ends exchanged: what one picture without unequal ends cannot tell apart. */
export function turnedEndForEnd(guess: PoseGuess): PoseGuess {
  return { ...guess, along: guess.along + Math.PI, tilt: -guess.tilt }
}
