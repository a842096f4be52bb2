import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ellipseDistance } from '../../../lib/journal/ellipse'

/** The least distance to the rim among many places on it, refined by golden section; negative inside. */
function sampledDistance(a: number, b: number, x: number, y: number): number {
  const gap = (t: number) => Math.hypot(a * Math.cos(t) - x, b * Math.sin(t) - y)
  const count = 2000
  let best = 0
  for (let k = 1; k < count; k++) if (gap((2 * Math.PI * k) / count) < gap((2 * Math.PI * best) / count)) best = k
  let low = (2 * Math.PI * (best - 1)) / count
  let high = (2 * Math.PI * (best + 1)) / count
  const golden = (Math.sqrt(5) - 1) / 2
  for (let i = 0; i < 80; i++) {
    const left = high - golden * (high - low)
    const right = low + golden * (high - low)
    if (gap(left) < gap(right)) high = right
    else low = left
  }
  const least = gap((low + high) / 2)
  return (x / a) ** 2 + (y / b) ** 2 < 1 ? -least : least
}

describe('distance to an ellipse', () => {
  it('of a circle is the distance from its centre less the radius', () => {
    for (const [x, y] of [
      [3, 4],
      [0.3, 0.4],
      [-7, 0],
      [0, -1],
    ])
      expect(ellipseDistance({ a: 2, b: 2 }, x, y).distance).toBeCloseTo(Math.hypot(x, y) - 2, 12)
  })

  it('at the centre is minus the shorter semi-axis, whichever way it lies', () => {
    expect(ellipseDistance({ a: 4, b: 5 }, 0, 0).distance).toBeCloseTo(-4, 12)
    expect(ellipseDistance({ a: 5, b: 4 }, 0, 0).distance).toBeCloseTo(-4, 12)
    expect(ellipseDistance({ a: 3, b: 3 }, 0, 0).distance).toBeCloseTo(-3, 12)
  })

  it('on the axes outside is the distance to the vertex', () => {
    expect(ellipseDistance({ a: 4, b: 5 }, 6.5, 0).distance).toBeCloseTo(2.5, 12)
    expect(ellipseDistance({ a: 4, b: 5 }, 0, -9).distance).toBeCloseTo(4, 12)
    expect(ellipseDistance({ a: 4, b: 5 }, 4, 0).distance).toBeCloseTo(0, 12)
  })

  it('on the long axis inside follows b sqrt(1 - x^2 / (a^2 - b^2)) up to the evolute, then a - x', () => {
    const [a, b] = [5, 3]
    for (const x of [0.5, 1.5, 2.5, 3.1])
      expect(ellipseDistance({ a, b }, x, 0).distance).toBeCloseTo(-b * Math.sqrt(1 - (x * x) / (a * a - b * b)), 10)
    for (const x of [3.3, 4, 4.9]) expect(ellipseDistance({ a, b }, x, 0).distance).toBeCloseTo(x - a, 12)
  })

  it('agrees with dense sampling of the rim, inside and outside, slender or round', () => {
    const place = fc.double({ min: -12, max: 12, noNaN: true })
    const axis = fc.double({ min: 0.5, max: 8, noNaN: true })
    fc.assert(
      fc.property(axis, axis, place, place, (a, b, x, y) => {
        const { distance, normal } = ellipseDistance({ a, b }, x, y)
        expect(distance).toBeCloseTo(sampledDistance(a, b, x, y), 5)
        expect(Math.hypot(...normal)).toBeCloseTo(1, 9)
      }),
      { numRuns: 400 },
    )
  })

  it('is exact a hair off the long axis, where a careless search stops short', () => {
    for (const y of [1e-9, -1e-12, 1e-300]) {
      expect(ellipseDistance({ a: 5, b: 3 }, 6, y).distance).toBeCloseTo(1, 9)
      expect(ellipseDistance({ a: 5, b: 3 }, 1, y).distance).toBeCloseTo(-3 * Math.sqrt(1 - 1 / 16), 6)
    }
  })

  it('names the direction in which it grows', () => {
    const at = (x: number, y: number) => ellipseDistance({ a: 4, b: 6 }, x, y).distance
    for (const [x, y] of [
      [5, 3],
      [-2, 1],
      [1, -8],
      [-6, -6],
    ]) {
      const { normal } = ellipseDistance({ a: 4, b: 6 }, x, y)
      expect(normal[0]).toBeCloseTo((at(x + 1e-5, y) - at(x - 1e-5, y)) / 2e-5, 5)
      expect(normal[1]).toBeCloseTo((at(x, y + 1e-5) - at(x, y - 1e-5)) / 2e-5, 5)
    }
  })
})
