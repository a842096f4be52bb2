/** The SIMD kernel against its oracle, and against its own source. */
import { describe, expect, it } from 'vitest'
import { compileKernel } from '../../../lib/cli/compile-kernel.mjs'
import type { Kernel, Sampling } from '../../../lib/rollout/kernel'
import type { Picture } from '../../../lib/rollout/picture'
import { plainKernel } from '../../../lib/rollout/plain-kernel'
import { rollout, rolloutSize, type RolloutView } from '../../../lib/rollout/rollout'
import { simdKernel } from '../../../lib/rollout/simd-kernel'
import { SimdMemory } from '../../../lib/rollout/simd-memory'
import { warpKernelWasm } from '../../../lib/rollout/warp-kernel-wasm'
import { benchCamera, benchSurface } from './journal-on-the-bench'

const simd = (await simdKernel()) as Kernel

/** Every grey level beside every other: the hardest there is to interpolate. */
function noisePicture(width: number, height: number, channels: 3 | 4, seed: number): Picture {
  const data = new Uint8Array(width * height * channels)
  for (let i = 0, state = seed; i < data.length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    data[i] = state >>> 24
  }
  return { width, height, channels, data }
}

const outline: [number, number][] = [
  [700, 500],
  [900, 520],
  [860, 640],
  [690, 610],
]

const views: RolloutView[] = [
  { picture: noisePicture(1600, 1200, 3, 1), camera: benchCamera(20, { k1: 0.2 }), ignore: [outline] },
  { picture: noisePicture(1333, 1001, 4, 2), camera: benchCamera(70, { translation: [-14, 6, 260] }), ignore: [] },
  { picture: noisePicture(801, 599, 3, 3), camera: benchCamera(340, { translation: [30, 0, 300] }), ignore: [] },
]

describe('the SIMD kernel', () => {
  it.each([
    [16, 'bicubic'],
    [16, 'bilinear'],
    [9, 'bicubic'],
    [3, 'bilinear'],
    [1, 'bicubic'],
  ] as [number, Sampling][])('equals the plain one at %s px per mm, %s, within 1.5 grey levels', (pxPerMm, sampling) => {
    const size = rolloutSize(benchSurface, pxPerMm)
    const [fast, plain] = [simd, plainKernel].map((kernel) => rollout(benchSurface, views, size, { sources: true, sampling, kernel }))
    let [largest, covered, otherCover, otherSource] = [0, 0, 0, 0]
    for (let i = 0; i < fast.rgba.length; i += 4) {
      if (fast.rgba[i + 3] !== plain.rgba[i + 3]) otherCover++
      if (fast.rgba[i + 3] === 0 || plain.rgba[i + 3] === 0) continue
      covered++
      if (fast.sources?.[i / 4] !== plain.sources?.[i / 4]) otherSource++
      for (let c = 0; c < 3; c++) largest = Math.max(largest, Math.abs(fast.rgba[i + c] - plain.rgba[i + c]))
    }
    expect(covered).toBeGreaterThan(0.3 * (fast.rgba.length / 4))
    // both round to whole grey levels
    expect(largest).toBeLessThanOrEqual(1)
    // a border may fall to either side of a pixel's centre by rounding
    expect(otherCover / covered).toBeLessThan(2e-4)
    expect(otherSource / covered).toBeLessThan(2e-4)
  })

  it('is what its source compiles to', async () => {
    expect(Buffer.from(await compileKernel()).toString('base64')).toBe(warpKernelWasm)
  }, 60_000)
})

describe('room in the memory', () => {
  it('is never handed out twice, is joined again when given back, and grows', () => {
    const memory = new SimdMemory(1024)
    const rooms = [100, 70_000, 3_000_000, 64].map((bytes) => memory.take(bytes))
    const sorted = [...rooms].sort((a, b) => a.address - b.address)
    for (let i = 1; i < sorted.length; i++) expect(sorted[i].address).toBeGreaterThanOrEqual(sorted[i - 1].address + sorted[i - 1].bytes)
    const end = Math.max(...rooms.map((room) => room.address + room.bytes))
    expect(memory.memory.buffer.byteLength).toBeGreaterThanOrEqual(end)
    for (const room of [rooms[1], rooms[3], rooms[0], rooms[2]]) memory.giveBack(room)
    const size = memory.memory.buffer.byteLength
    expect(memory.take(size - 1024).address).toBe(1024)
    expect(memory.memory.buffer.byteLength).toBe(size)
  })
})
