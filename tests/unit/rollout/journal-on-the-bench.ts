/** A journal, a camera in front of it and pictures made by formula, for the tests of the rollout. */
import { surfaceOf } from '../../../lib/journal/surface'
import type { Camera } from '../../../lib/photo/camera'
import type { Picture } from '../../../lib/rollout/picture'
import type { Kernel } from '../../../lib/rollout/kernel'
import { seamsOf } from '../../../lib/rollout/seams'
import {
  blockSums,
  emptyRollout,
  fillStripe,
  type Rollout,
  rolloutJob,
  rolloutPhoto,
  type RolloutSize,
  type RolloutView,
  stripesOf,
} from '../../../lib/rollout/rollout'

export const radius = 30
export const width = 40
export const fillet = 3

export const benchSurface = surfaceOf({
  diameter: 2 * radius,
  width,
  fillets: { front: { form: 'tangent', radius: fillet }, rear: { form: 'tangent', radius: fillet } },
})

/**
 * A camera 300 mm from the axis that stands at the given angle of the journal and looks at the middle of its axis, picture right towards the rear.
 * Written out by hand: with the angle's cosine c and sine s, ahead = (-c, -s, 0), right = (0, 0, 1), down = ahead x right = (-s, c, 0).
 */
export function benchCamera(angleDeg: number, more: Partial<Camera> = {}): Camera {
  const c = Math.cos((angleDeg * Math.PI) / 180)
  const s = Math.sin((angleDeg * Math.PI) / 180)
  return {
    width: 1600,
    height: 1200,
    focalPx: 3000,
    k1: 0,
    rotation: [0, 0, 1, -s, c, 0, -c, -s, 0],
    translation: [0 - width / 2, 0, 300],
    ...more,
  }
}

/** The map of photographs blended as they are, exposure not evened out. */
export function blendedAsTheyAre(views: RolloutView[], size: RolloutSize, kernel: Kernel): Rollout {
  const job = rolloutJob(benchSurface, views.map(rolloutPhoto), size, { sources: true })
  const bare = job.views.map((view) => ({ ...view, exposure: { ultraviolet: false, even: null } }))
  const asTheyAre = { ...job, views: bare, seams: seamsOf(benchSurface, bare) }
  const held = views.map(({ picture }) => kernel.hold(picture))
  const sums = blockSums(kernel, job)
  const whole = emptyRollout(job)
  for (const stripe of stripesOf(size.height)) fillStripe(asTheyAre, sums, held, stripe, whole)
  return whole
}

export function plainPicture(colour: [number, number, number], size = { width: 1600, height: 1200 }): Picture {
  const data = new Uint8Array(size.width * size.height * 3)
  for (let at = 0; at < data.length; at += 3) data.set(colour, at)
  return { ...size, channels: 3, data }
}

/** A picture that is black but for bright discs of 3 px radius around the given pixels. */
export function dottedPicture(dots: { u: number; v: number }[], size = { width: 1600, height: 1200 }): Picture {
  const picture = plainPicture([0, 0, 0], size)
  for (const { u, v } of dots) {
    for (let y = Math.floor(v) - 5; y <= v + 5; y++) {
      for (let x = Math.floor(u) - 5; x <= u + 5; x++) {
        const off = Math.hypot(x + 0.5 - u, y + 0.5 - v)
        if (off < 4 && x >= 0 && y >= 0 && x < size.width && y < size.height) {
          picture.data.fill(Math.round(255 * Math.min(1, 4 - off)), (y * size.width + x) * 3, (y * size.width + x) * 3 + 3)
        }
      }
    }
  }
  return picture
}

/** Where the red channel's weight lies among the pixels for which `within` holds, in map px (column + 0.5, row + 0.5). */
export function brightCentre(
  map: { width: number; height: number; rgba: Uint8ClampedArray },
  within: (column: number, row: number) => boolean,
): { column: number; row: number } | null {
  let [sum, columns, rows] = [0, 0, 0]
  for (let row = 0; row < map.height; row++) {
    for (let column = 0; column < map.width; column++) {
      const red = map.rgba[4 * (row * map.width + column)]
      if (red < 40 || !within(column, row)) continue
      sum += red
      columns += red * (column + 0.5)
      rows += red * (row + 0.5)
    }
  }
  return sum > 0 ? { column: columns / sum, row: rows / sum } : null
}
