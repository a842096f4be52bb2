import { expect, test } from 'vitest'
import type { Scene } from '../../../lib/trace/candidate-features'
import { isAmongRidges } from '../../../lib/trace/fingerprint-ridge'
import type { RidgePath } from '../../../lib/trace/ridge-path'
import { noiseFrom } from '../../fixtures/render/noise'

const columns = 400
const rows = 120

/** A map whose darkness is told place by place, and a line followed along row 60. */
function sceneOf(darkness: (x: number, y: number) => number): Scene {
  const noise = noiseFrom(3)
  const mean = Float32Array.from(
    { length: columns * rows },
    (_, i) => darkness(i % columns, Math.floor(i / columns)) + 0.01 * noise.normal(),
  )
  const height = mean.map((value) => Math.max(0, 40 * value))
  return {
    grid: { columns, rows, stepTheta: (2 * Math.PI) / columns, stepS: 1 / 16, radius: 4 },
    evidence: { columns, rows, height, direction: new Uint8Array(mean.length), contrast: mean },
    strips: [],
    mean,
    rimDistance: () => 99,
  }
}

const along: RidgePath = { points: Array.from({ length: 40 }, (_, k) => ({ x: 100 + 2 * k, y: 60 })), heights: new Array(40).fill(5) }

test('a line with its like on both sides half a mm off is a ridge of a fingerprint', () => {
  expect(
    isAmongRidges(
      sceneOf((_, y) => 0.1 * Math.cos((2 * Math.PI * (y - 60)) / 8)),
      along,
    ),
  ).toBe(true)
})

test('a line alone is none, nor one with a like on one side, nor one that others cross', () => {
  const line = (y: number, at: number) => 0.1 * Math.exp(-((y - at) ** 2) / 4)
  expect(
    isAmongRidges(
      sceneOf((_, y) => line(y, 60)),
      along,
    ),
  ).toBe(false)
  expect(
    isAmongRidges(
      sceneOf((_, y) => line(y, 60) + line(y, 68)),
      along,
    ),
  ).toBe(false)
  expect(
    isAmongRidges(
      sceneOf((x, y) => line(y, 60) + line(x % 20, 10)),
      along,
    ),
  ).toBe(false)
})
