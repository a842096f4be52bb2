/**
 * How long the rollout takes beside `remap` of the npm OpenCV build, in one run, turn about:
 * `npx tsx tests/bench/rollout.bench.ts [rounds]`. Ours starts from fitted cameras and ends with RGBA, projection, visibility, weights and coverage
 * included; `remap` gets ready-made maps (32-bit floats; also its faster fixed-point form).
 */
import { Worker as Thread } from 'node:worker_threads'
import cv from '@techstark/opencv-js'
import type { Kernel, Sampling } from '../../lib/rollout/kernel'
import { plainKernel } from '../../lib/rollout/plain-kernel'
import {
  blockSums,
  emptyRollout,
  fillStripe,
  type Rollout,
  rolloutJob,
  rolloutPhoto,
  type RolloutStripe,
  stripesOf,
} from '../../lib/rollout/rollout'
import { openRolloutClient } from '../../lib/rollout/rollout-client'
import { simdKernel } from '../../lib/rollout/simd-kernel'
import { camera, exactMaps, firstColumn, mapSize, photograph, piece, surface } from './remap-case'

const rounds = Number(process.argv[2] ?? 9)
const picture = photograph()
const photo = rolloutPhoto({ picture, camera, ignore: [] })
const simd = await simdKernel()
if (!simd) throw new Error('WebAssembly has no SIMD here')

/** The map on one thread, from a picture that the kernel holds. */
function ours(kernel: Kernel) {
  const held = [kernel.hold(picture)]
  const sums = blockSums(kernel, { wantSources: false })
  const whole = emptyRollout(rolloutJob(surface, [photo], mapSize))
  return (sampling: Sampling): Rollout => {
    const job = rolloutJob(surface, [photo], mapSize, { sampling })
    for (const stripe of stripesOf(mapSize.height)) fillStripe(job, sums, held, stripe, whole)
    return whole
  }
}

/** Two workers as the page has them, each with the picture, a thread of Node each. */
function inTwoThreads() {
  const load =
    "const { workerData } = require('node:worker_threads'); import('tsx/esm/api').then((tsx) => { tsx.register(); return import(workerData) })"
  const threads = [0, 1].map(() => new Thread(load, { eval: true, workerData: new URL('./rollout-thread.ts', import.meta.url).href }))
  const workers = threads.map((thread) => {
    const worker = { onmessage: null as ((event: { data: unknown }) => void) | null, onerror: null, terminate: () => thread.terminate() }
    thread.on('message', (data) => worker.onmessage?.({ data }))
    return Object.assign(worker, { postMessage: (message: unknown) => thread.postMessage(message) }) as unknown as Worker
  })
  const client = openRolloutClient(workers)
  client.setPicture('photo', picture)
  const order = { surface, views: [{ photoId: 'photo', camera, ignore: [] }], size: mapSize }
  const whole = new Uint8ClampedArray(mapSize.width * mapSize.height * 4)
  return {
    /** The stripes as the page gets them to draw; or besides put together into one map as they come, by this thread. */
    run: async (sampling: Sampling, together: boolean) => {
      await client.render({ ...order, sampling }, (stripe) => {
        if (together) putStripe(whole, stripe)
      })
    },
    close: () => client.close(),
  }
}

function putStripe(whole: Uint8ClampedArray, { firstRow, rows, width, blocks }: RolloutStripe): void {
  for (const { firstColumn, columns, rgba } of blocks) {
    for (let row = 0; row < rows; row++)
      whole.set(rgba.subarray(4 * row * columns, 4 * (row + 1) * columns), 4 * ((firstRow + row) * width + firstColumn))
  }
}

async function remaps() {
  // a promise of this module would wait for itself: it has a `then` of its own
  await new Promise<void>((ready) => {
    if (cv.Mat) ready()
    else cv.onRuntimeInitialized = ready
  })
  const source = new cv.Mat(camera.height, camera.width, cv.CV_8UC4)
  source.data.set(picture.data)
  const exact = exactMaps()
  const [x, y] = [exact.x, exact.y].map((values) => {
    const map = new cv.Mat(piece.height, piece.width, cv.CV_32FC1)
    map.data32F.set(values)
    return map
  })
  const [fixed, fractions, out] = [new cv.Mat(), new cv.Mat(), new cv.Mat()]
  cv.convertMaps(x, y, fixed, fractions, cv.CV_16SC2, false)
  const run = (sampling: Sampling, a: cv.Mat, b: cv.Mat) => {
    cv.remap(source, out, a, b, sampling === 'bicubic' ? cv.INTER_CUBIC : cv.INTER_LINEAR, cv.BORDER_CONSTANT, new cv.Scalar())
    return out.data
  }
  return { float: (sampling: Sampling) => run(sampling, x, y), fixed: (sampling: Sampling) => run(sampling, fixed, fractions) }
}

type Taken = { ms: number; processorMs: number }

/** Processor time is the whole process's, threads and all: beside it one sees whether both processors were free. */
async function timed(run: () => unknown): Promise<Taken> {
  const start = performance.now()
  const before = process.cpuUsage()
  await run()
  const { user, system } = process.cpuUsage(before)
  return { ms: performance.now() - start, processorMs: (user + system) / 1000 }
}

const median = (values: number[]) => [...values].sort((a, b) => a - b)[values.length >> 1]
const [fast, plain, remap] = [ours(simd), ours(plainKernel), await remaps()]

/** Largest and mean difference from `remap` where ours covers, and how much of the piece it does not cover. */
function compared({ rgba }: Rollout, theirs: Uint8Array) {
  let [largest, sum, covered] = [0, 0, 0]
  for (let row = 0; row < piece.height; row++) {
    for (let column = 0; column < piece.width; column++) {
      const at = 4 * (row * mapSize.width + firstColumn + column)
      if (rgba[at + 3] === 0) continue
      covered++
      const off = Math.abs(rgba[at] - theirs[4 * (row * piece.width + column)])
      largest = Math.max(largest, off)
      sum += off
    }
  }
  return `differs from remap by ${(sum / covered).toFixed(2)} grey levels in the mean, ${largest} at most; covers ${((100 * covered) / (piece.width * piece.height)).toFixed(2)} % of the piece`
}

type Runs = Record<string, () => unknown>

/** Rounds that do not count: two threads, each with half the work, take long until their code is compiled to the last. */
const warmUp = 12

/** What each took, round by round, run turn about once all are warm. */
async function taken(runs: Runs): Promise<Record<string, Taken[]>> {
  const times = Object.fromEntries(Object.keys(runs).map((name) => [name, [] as Taken[]]))
  for (let round = -warmUp; round < rounds; round++) {
    for (const [name, run] of Object.entries(runs)) {
      const one = await timed(run)
      if (round >= 0) times[name].push(one)
    }
  }
  return times
}

async function report(sampling: Sampling, words: string, run: () => unknown) {
  const times = await taken({ float: () => remap.float(sampling), run, fixed: () => remap.fixed(sampling) })
  const middle = (name: string) => median(times[name].map(({ ms }) => ms))
  const least = (name: string) => Math.min(...times[name].map(({ ms }) => ms))
  const ratio = (name: string) => `${(middle('run') / middle(name)).toFixed(3)} (least by least ${(least('run') / least(name)).toFixed(3)})`
  console.log(
    `  ${words}: ${middle('run').toFixed(0)} ms, ${median(times.run.map(({ processorMs }) => processorMs)).toFixed(0)} ms of processors, ` +
      `${ratio('float')} of remap (${middle('float').toFixed(0)} ms), ${ratio('fixed')} of its fixed-point form (${middle('fixed').toFixed(0)} ms)`,
  )
}

const both = ['bilinear', 'bicubic'] as const
for (const sampling of both) {
  console.log(`${sampling}: ${compared(fast(sampling), remap.float(sampling))}`)
  await report(sampling, 'one thread, SIMD', () => fast(sampling))
  await report(sampling, 'one thread, plain', () => plain(sampling))
}
const two = inTwoThreads()
for (const sampling of both) {
  await report(sampling, `two threads, SIMD, ${sampling}`, () => two.run(sampling, false))
  await report(sampling, `the same, put together into one map, ${sampling}`, () => two.run(sampling, true))
}
two.close()
