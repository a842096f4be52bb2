/**
 * A rollout that reads its photographs one at a time, so that memory does not grow with their number: first each for its coarse picture, from
 * which exposures are compared, then each again for its pixels, added to the sums of all stripes. Maps too large for that are made in
 * bands, for each of which the photographs are read again.
 */
import type { Surface } from '../journal/surface'
import type { Kernel, Sampling, Sums } from './kernel'
import { coarseHalvings, coarsePicture, type Picture } from './picture'
import {
  addToStripe,
  emptyRollout,
  type Rollout,
  type RolloutJob,
  type RolloutPhoto,
  type RolloutSize,
  type RolloutView,
  rolloutJob,
  type Stripe,
  settleInto,
  stripesOf,
} from './rollout'

export type PhotoToRead = Omit<RolloutView, 'picture'> & { read: () => Promise<Picture> }

/** Pixels of the map whose sums are held at a time, 16 bytes each. */
const bandPixels = 8_000_000

/**
 * `breathe` is awaited between stripes, so that a server can answer others meanwhile; null where it answers 'stop'.
 * @throws what reading a picture throws
 */
export async function rolloutByPhoto(
  surface: Surface,
  photos: readonly PhotoToRead[],
  size: RolloutSize,
  kernel: Kernel,
  options: { sources?: boolean; sampling?: Sampling; breathe?: () => Promise<'go' | 'stop'> } = {},
): Promise<Rollout | null> {
  const breathe = options.breathe ?? (async () => 'go' as const)
  const known: RolloutPhoto[] = []
  for (const { camera, ignore, read } of photos) {
    if ((await breathe()) === 'stop') return null
    const picture = await read()
    const coarse = coarsePicture(picture, coarseHalvings(picture, camera))
    known.push({ camera, ignore, pictureSize: { width: picture.width, height: picture.height }, coarse })
  }
  const job = rolloutJob(surface, known, size, options)
  const whole = emptyRollout(job)
  const stripes = stripesOf(size.height)
  const inBand = Math.max(1, Math.floor(bandPixels / (size.width * (stripes[0]?.rows ?? 1))))
  for (let from = 0; from < stripes.length; from += inBand) {
    if (!(await addBand(job, kernel, photos, stripes.slice(from, from + inBand), whole, breathe))) return null
  }
  return whole
}

async function addBand(
  job: RolloutJob,
  kernel: Kernel,
  photos: readonly PhotoToRead[],
  stripes: readonly Stripe[],
  whole: Rollout,
  breathe: () => Promise<'go' | 'stop'>,
): Promise<boolean> {
  const sums: Sums[] = stripes.map(({ rows }) => kernel.sums(whole.width, rows, job.wantSources))
  try {
    for (const [index, { read }] of photos.entries()) {
      const held = kernel.hold(await read())
      try {
        for (const [k, stripe] of stripes.entries()) {
          if ((await breathe()) === 'stop') return false
          addToStripe(job, sums[k], held, index, stripe)
        }
      } finally {
        held.release()
      }
    }
    for (const [k, stripe] of stripes.entries()) settleInto(sums[k], stripe, whole)
    return true
  } finally {
    for (const one of sums) one.release()
  }
}
