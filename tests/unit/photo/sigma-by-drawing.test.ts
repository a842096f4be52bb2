import { describe, expect, it } from 'vitest'
import { assess } from '../../../lib/finding/assess'
import { readInspection } from '../../../lib/journal/read-inspection'
import type { MarkFinding } from '../../../lib/model/findings'
import { noiseFrom } from '../../fixtures/render/noise'
import { randomCase } from '../../fixtures/render/cases'

type Pixel = [number, number]
const copies = 300
const noisePx = 0.7

/** One case with exact picks, then noise drawn afresh on every coordinate of handles and marks for each copy. */
function drawnAgain(): { claimed: MarkFinding[]; copies: MarkFinding[][] } {
  const exact = randomCase(12, { noisePx: 1e-9 }).inspection
  const noise = noiseFrom(99)
  const jitter = ([u, v]: Pixel): Pixel => [u + noisePx * noise.normal(), v + noisePx * noise.normal()]
  const judged = (move: (p: Pixel) => Pixel) => {
    const [photo] = exact.photos
    const { handles } = photo
    const read = readInspection({
      ...exact,
      photos: [
        {
          ...photo,
          pickSigmaPx: noisePx,
          handles: {
            ...handles,
            sides: handles.sides.map((side) => side.map(move)),
            rings: handles.rings.map((ring) => ({ ...ring, points: ring.points.map(move) })),
            oilHoles: handles.oilHoles.map((hole) => ({ ...hole, center: move(hole.center) })),
          },
        },
      ],
      marks: exact.marks.map((mark) => ({ ...mark, pixels: mark.pixels.map(move) })),
    })
    if (!read.ok) throw new Error(JSON.stringify(read.reason))
    return assess(read.value, {}).marks
  }
  return { claimed: judged((p) => p), copies: Array.from({ length: copies }, () => judged(jitter)) }
}

describe('published sigmas against 300 refits of noisy copies', () => {
  const { claimed, copies: drawn } = drawnAgain()
  const spread = (values: number[]) => {
    const mean = values.reduce((a, b) => a + b, 0) / values.length
    return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1))
  }
  const numbers: [string, (m: MarkFinding) => number | null | undefined, (m: MarkFinding) => number | null][] = [
    ['angle', (m) => m.signedAngleDeg, (m) => m.sigma.angleDeg],
    ['fillet', (m) => m.filletNearestMm, (m) => m.sigma.filletMm],
    ['oil hole', (m) => m.oilHoles?.[0].distanceMm, (m) => m.sigma.oilHoleMm],
    ['length', (m) => m.lengthMm, (m) => m.sigma.lengthMm],
  ]

  it.each(numbers)('of the %s: within 15 per cent', (_, value, sigma) => {
    let compared = 0
    claimed.forEach((mark, i) => {
      const values = drawn.map((marks) => value(marks[i]) ?? Number.NaN)
      // a distance of 0 is cut off and has no spread to compare
      if (values.some((v) => v === 0)) return
      compared++
      const ratio = (sigma(mark) ?? Number.NaN) / spread(values)
      expect(ratio, mark.id).toBeGreaterThan(0.85)
      expect(ratio, mark.id).toBeLessThan(1.15)
    })
    expect(compared).toBeGreaterThan(1)
  })
})
