import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { leastRectangle } from '../../../lib/journal/least-rectangle'

type Flat = [number, number]
const turned = (points: readonly Flat[], angle: number): Flat[] =>
  points.map(([x, y]) => [x * Math.cos(angle) - y * Math.sin(angle), x * Math.sin(angle) + y * Math.cos(angle)])

/** Area of the box about a cloud of points turned to every half of a hundredth of a degree. */
function leastByTurning(points: readonly Flat[]): number {
  let least = Number.POSITIVE_INFINITY
  for (let k = 0; k < 9000; k++) {
    const box = turned(points, (k * Math.PI) / 18000)
    const side = (i: 0 | 1) => Math.max(...box.map((p) => p[i])) - Math.min(...box.map((p) => p[i]))
    least = Math.min(least, side(0) * side(1))
  }
  return least
}

describe('the least rectangle about an outline', () => {
  it('of a turned rectangle has its sides, and its axis runs along the longer one', () => {
    for (const angle of [0, 0.4, 1.2, 2.9]) {
      const { longest, shortest, axis } = leastRectangle(
        turned(
          [
            [0, 0],
            [7, 0],
            [7, 2],
            [0, 2],
          ],
          angle,
        ),
      )
      expect(longest).toBeCloseTo(7, 10)
      expect(shortest).toBeCloseTo(2, 10)
      const [dx, dy] = [axis[1][0] - axis[0][0], axis[1][1] - axis[0][1]]
      expect(Math.hypot(dx, dy)).toBeCloseTo(7, 10)
      expect(Math.abs(dx * Math.sin(angle) - dy * Math.cos(angle))).toBeCloseTo(0, 9)
    }
  })

  it('of any outline has the area found by turning a box about it', () => {
    const place = fc.tuple(fc.double({ min: -5, max: 5, noNaN: true }), fc.double({ min: -5, max: 5, noNaN: true }))
    fc.assert(
      fc.property(fc.array(place, { minLength: 3, maxLength: 9 }), (points) => {
        const { longest, shortest } = leastRectangle(points)
        expect(longest).toBeGreaterThanOrEqual(shortest)
        const truth = leastByTurning(points)
        expect(longest * shortest).toBeLessThan(truth + 1e-6)
        expect(longest * shortest).toBeGreaterThan(truth - 0.03)
      }),
      { numRuns: 25 },
    )
  })

  it('of points in a row, or all in one place, has no width', () => {
    expect(
      leastRectangle([
        [0, 0],
        [3, 4],
        [1.5, 2],
      ]).longest,
    ).toBeCloseTo(5, 10)
    expect(
      leastRectangle([
        [0, 0],
        [3, 4],
        [1.5, 2],
      ]).shortest,
    ).toBeCloseTo(0, 10)
    expect(
      leastRectangle([
        [1, 1],
        [1, 1],
        [1, 1],
      ]),
    ).toMatchObject({ longest: 0, shortest: 0 })
  })
})
