/**
 * A rollout on the server or the command line, shared between two threads, that reads its photographs one at a time so that memory does not grow with
 * their number: first each for its coarse picture, from which exposures are compared, then each again for its pixels, which both threads add to their
 * stripes; these end up in one map in shared memory. Maps too large for that are made in bands, for each of which the photographs are read again.
 */
import { Worker } from 'node:worker_threads'
import type { Surface } from '../journal/surface'
import type { Sampling } from '../rollout/kernel'
import { coarseHalvings, coarsePicture, type Picture } from '../rollout/picture'
import {
  type Rollout,
  type RolloutJob,
  type RolloutPhoto,
  type RolloutSize,
  type RolloutView,
  type Stripe,
  stripesOf,
} from '../rollout/rollout'

export type PhotoToRead = Omit<RolloutView, 'picture'> & { read: () => Promise<Picture> }

export type ToThread =
  | { say: 'prepare'; surface: Surface; photos: RolloutPhoto[]; size: RolloutSize; sampling: Sampling }
  | { say: 'begin'; job: RolloutJob; stripes: Stripe[]; map: SharedArrayBuffer }
  | { say: 'add'; index: number; picture: Picture }
  | { say: 'finish' }

export type FromThread = { say: 'prepared'; job: RolloutJob } | { say: 'ready' } | { say: 'failed'; message: string }

const threads = 2
/** Pixels of the map whose sums are held at a time, 16 bytes each. */
const bandPixels = 5_000_000

/**
 * The map, alpha its coverage; null where `stopped` answered true between two photographs. `onProgress` counts readings of photographs.
 * @throws what reading a picture throws
 */
export async function rolloutInThreads(
  surface: Surface,
  photos: readonly PhotoToRead[],
  size: RolloutSize,
  sampling: Sampling,
  { stopped = () => false, onProgress = () => {} }: { stopped?: () => boolean; onProgress?: (done: number, of: number) => void } = {},
): Promise<Rollout | null> {
  const known: RolloutPhoto[] = []
  const bands = bandsOf(size)
  let done = 0
  const oneMore = () => onProgress(++done, photos.length * (1 + bands.length))
  for (const { camera, ignore, read } of photos) {
    if (stopped()) return null
    const picture = await read()
    const coarse = coarsePicture(picture, coarseHalvings(picture, camera))
    known.push({ camera, ignore, pictureSize: { width: picture.width, height: picture.height }, coarse })
    oneMore()
  }
  const map = new SharedArrayBuffer(size.width * size.height * 4)
  const desks = Array.from({ length: threads }, openThread)
  const share = sharedDesk()
  try {
    // once, in one thread: exposures are compared there
    const prepared = await ask(desks[0], { say: 'prepare', surface, photos: known, size, sampling })
    if (prepared.say !== 'prepared') throw new Error(`asked to prepare, a rollout thread said ${prepared.say}`)
    for (const band of bands) {
      await askAll(desks, (k) => ({
        say: 'begin',
        job: prepared.job,
        stripes: band.filter((_, i) => i % threads === k),
        map,
      }))
      for (const [index, { read }] of photos.entries()) {
        const picture = share(await read())
        await askAll(desks, () => ({ say: 'add', index, picture }))
        oneMore()
        if (stopped()) return null
      }
      await askAll(desks, () => ({ say: 'finish' }))
    }
    return { ...size, rgba: new Uint8ClampedArray(map), sources: null }
  } finally {
    await Promise.all(desks.map((desk) => desk.terminate()))
  }
}

function bandsOf(size: RolloutSize): Stripe[][] {
  const stripes = stripesOf(size.height)
  const inBand = Math.max(threads, Math.floor(bandPixels / (size.width * (stripes[0]?.rows ?? 1))))
  return Array.from({ length: Math.ceil(stripes.length / inBand) }, (_, k) => stripes.slice(k * inBand, (k + 1) * inBand))
}

/** Copies a picture into memory that all threads read, the same each time while it is large enough. */
function sharedDesk(): (picture: Picture) => Picture {
  let room = new SharedArrayBuffer(0)
  return (picture) => {
    if (room.byteLength < picture.data.length) room = new SharedArrayBuffer(picture.data.length)
    const data = new Uint8Array(room, 0, picture.data.length)
    data.set(picture.data)
    return { ...picture, data }
  }
}

function askAll(desks: readonly Worker[], message: (k: number) => ToThread): Promise<FromThread[]> {
  return Promise.all(desks.map((desk, k) => ask(desk, message(k))))
}

function ask(desk: Worker, message: ToThread): Promise<FromThread> {
  return new Promise((resolve, reject) => {
    const hear = (said: FromThread) => {
      desk.off('error', reject)
      if (said.say === 'failed') reject(new Error(said.message))
      else resolve(said)
    }
    desk.once('message', hear)
    desk.once('error', reject)
    desk.postMessage(message)
  })
}

/** In the pages' bundle, in the command line's, or from the sources, as tests do. */
function openThread(): Worker {
  if (process.env.NEXT_RUNTIME === 'nodejs') return new Worker(new URL('./rollout-thread-worker.ts', import.meta.url))
  if (process.env.THROWMARK_BUNDLE) return new Worker(new URL('store/rollout-thread-worker.mjs', process.env.THROWMARK_BUNDLE))
  const load =
    "const { workerData } = require('node:worker_threads'); import('tsx/esm/api').then((tsx) => { tsx.register(); return import(workerData) })"
  return new Worker(load, {
    eval: true,
    workerData: new URL(/* turbopackIgnore: true */ './rollout-thread-worker.ts', import.meta.url).href,
  })
}
