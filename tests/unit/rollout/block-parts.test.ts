/** Parts of the map that one photograph alone shows: which they are, and that the short way through them changes nothing. */
import { describe, expect, it } from 'vitest'
import { partsOf } from '../../../lib/rollout/block-parts'
import type { Kernel, Sampling } from '../../../lib/rollout/kernel'
import type { Picture } from '../../../lib/rollout/picture'
import { plainKernel } from '../../../lib/rollout/plain-kernel'
import {
  addToBlock,
  emptyRollout,
  type Rollout,
  rollout,
  rolloutJob,
  rolloutPhoto,
  rolloutSize,
  type RolloutView,
  stripesOf,
} from '../../../lib/rollout/rollout'
import { simdKernel } from '../../../lib/rollout/simd-kernel'
import { benchCamera, benchSurface } from './journal-on-the-bench'

const simd = (await simdKernel()) as Kernel
const size = rolloutSize(benchSurface, 8)

/** Bands and grain, brighter the larger `light` is: photographs differ, so that their gains do. */
function picture(light: number): Picture {
  const [width, height] = [1600, 1200]
  const data = new Uint8Array(width * height * 3)
  for (let at = 0, state = 7; at < data.length; at += 3) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    const swell = 70 + 25 * Math.sin(((at / 3) % width) / 40)
    for (let c = 0; c < 3; c++) data[at + c] = light * (swell + (state >>> 27) + 6 * c)
  }
  return { width, height, channels: 3, data }
}

const views: RolloutView[] = [0, 100, 215].map((angleDeg, k) => ({
  picture: picture([1, 1.35, 0.75][k]),
  camera: benchCamera(angleDeg, { k1: 0.1 }),
  ignore: [],
}))

/** The map by weighing every photograph everywhere, as the server does it, that reads them one at a time. */
function weighed(kernel: Kernel, sampling: Sampling): Rollout {
  const job = rolloutJob(benchSurface, views.map(rolloutPhoto), size, { sampling, sources: true })
  const whole = emptyRollout(job)
  const sums = kernel.sums(size.width, 64, true)
  const held = views.map((view) => kernel.hold(view.picture))
  for (const { firstRow, rows } of stripesOf(size.height)) {
    for (const [index, one] of held.entries()) addToBlock(job, sums, one, index, { firstRow, rows, firstColumn: 0, columns: size.width })
    sums.settle(rows, size.width, whole, firstRow * size.width)
  }
  for (const one of [sums, ...held]) one.release()
  return whole
}

describe('a part that one photograph alone shows', () => {
  const job = rolloutJob(benchSurface, views.map(rolloutPhoto), size)

  it('is one in which no other has a share', () => {
    let [alone, shared] = [0, 0]
    for (const { firstRow, rows } of stripesOf(size.height)) {
      const block = { firstRow, rows, firstColumn: 0, columns: size.width }
      let end = 0
      for (const part of partsOf(job, block)) {
        expect(part.firstColumn).toBeGreaterThanOrEqual(end)
        end = part.firstColumn + part.columns
        if (part.alone === null) shared += part.columns * rows
        else alone += part.columns * rows
      }
      expect(end).toBeLessThanOrEqual(size.width)
    }
    expect(alone).toBeGreaterThan(0.3 * size.width * size.height)
    expect(shared).toBeGreaterThan(0)
  })

  it.each([
    ['SIMD', 'bilinear'],
    ['SIMD', 'bicubic'],
    ['plain', 'bilinear'],
  ] as [string, Sampling][])('looks as if weighed with the others: %s, %s', (name, sampling) => {
    const kernel = name === 'SIMD' ? simd : plainKernel
    const short = rollout(benchSurface, views, size, { kernel, sampling, sources: true })
    const long = weighed(kernel, sampling)
    let [largest, covered] = [0, 0]
    for (let at = 0; at < short.rgba.length; at += 4) {
      if (short.rgba[at + 3] !== long.rgba[at + 3]) throw new Error(`covered by one way alone at ${at / 4}`)
      if (short.sources?.[at / 4] !== long.sources?.[at / 4]) throw new Error(`of another photograph at ${at / 4}`)
      if (short.rgba[at + 3] === 0) continue
      covered++
      for (let c = 0; c < 3; c++) largest = Math.max(largest, Math.abs(short.rgba[at + c] - long.rgba[at + c]))
    }
    expect(covered).toBeGreaterThan(0.5 * size.width * size.height)
    expect(largest).toBeLessThanOrEqual(1)
  })
})
