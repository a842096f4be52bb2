/**
 * The case that the rollout is timed on: a 12 megapixel photograph of one journal, and 4096 x 1024 px of its map that the photograph shows, at about one pixel to one.
 * The maps that `remap` of the OpenCV build gets ready-made are the exact projection of every pixel.
 */
import { surfaceOf, surfacePoint } from '../../lib/journal/surface'
import { type Camera, project } from '../../lib/photo/camera'
import type { Picture } from '../../lib/rollout/picture'

export const piece = { width: 4096, height: 1024 }
/** All the way round; the photograph shows a little more than the piece of it. */
export const mapSize = { width: 10_240, height: piece.height }
export const firstColumn = (mapSize.width - piece.width) / 2

const radius = 30
const width = (2 * Math.PI * radius * piece.height) / mapSize.width

export const surface = surfaceOf({ diameter: 2 * radius, width, fillets: { front: { form: 'step' }, rear: { form: 'step' } } })

const roll = (4 * Math.PI) / 180

/** Looks at the generator at 180 degrees from 300 mm, the picture's right 4 degrees off the way around. */
export const camera: Camera = {
  width: 4000,
  height: 3000,
  focalPx: 14_400,
  k1: 0,
  rotation: [0, -Math.cos(roll), -Math.sin(roll), 0, Math.sin(roll), -Math.cos(roll), 1, 0, 0],
  translation: [(Math.sin(roll) * width) / 2, (Math.cos(roll) * width) / 2, 300],
}

/** Steel-like: grain on a slow swell. */
export function photograph(): Picture {
  const data = new Uint8Array(camera.width * camera.height * 4)
  for (let y = 0, at = 0, state = 1; y < camera.height; y++) {
    for (let x = 0; x < camera.width; x++, at += 4) {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      const grey = 110 + 40 * Math.sin(x / 37 + y / 53) + (state >>> 28)
      data[at] = grey
      data[at + 1] = grey - 6
      data[at + 2] = grey - 12
      data[at + 3] = 255
    }
  }
  return { width: camera.width, height: camera.height, channels: 4, data }
}

/** Columns and rows of the photograph for each pixel of the piece, as `remap` counts them: 0 is the middle of the first pixel. */
export function exactMaps(): { x: Float32Array; y: Float32Array } {
  const x = new Float32Array(piece.width * piece.height)
  const y = new Float32Array(piece.width * piece.height)
  for (let row = 0, at = 0; row < piece.height; row++) {
    const s = surface.totalS * (1 - (row + 0.5) / piece.height)
    for (let column = 0; column < piece.width; column++, at++) {
      const place = project(camera, surfacePoint(surface, { theta: ((firstColumn + column + 0.5) / mapSize.width) * 2 * Math.PI, s }))
      if (!place) throw new Error('behind the camera')
      x[at] = place.u - 0.5
      y[at] = place.v - 0.5
    }
  }
  return { x, y }
}
