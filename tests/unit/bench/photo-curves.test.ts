import { describe, expect, it } from 'vitest'
import { letterPlaces } from '@/components/map/letter-places'
import { oilHoleOutline } from '@/components/map/oil-hole-outline'
import { facingRange, ringCurve, sideCurves, visiblePixel } from '@/components/photo/surface-curves'
import { surfaceOf } from '@/lib/journal/surface'
import type { Camera } from '@/lib/photo/camera'
import { pin } from '../editor/bench-fixture'

const surface = surfaceOf(pin)
/** Looks at the middle of the pin from 300 mm along +x; the journal's rear is up in the picture. */
const camera: Camera = {
  width: 2000,
  height: 1500,
  focalPx: 2000,
  k1: 0,
  rotation: [0, 1, 0, 0, 0, -1, -1, 0, 0],
  translation: [0, 20, 300],
}

describe('curves of the journal in a photograph', () => {
  it('the sides lie at acos(R / d) to either side of the camera', () => {
    const range = facingRange(surface, camera)
    expect(range?.to).toBeCloseTo(Math.acos(30 / 300), 12)
    expect(range?.from).toBeCloseTo(-Math.acos(30 / 300), 12)
  })

  it('a side is where the sight line touches: R f / sqrt(d^2 - R^2) from the middle', () => {
    const apart = (30 * 2000) / Math.sqrt(300 ** 2 - 30 ** 2)
    const us = sideCurves(surface, camera).map((curve) => curve[12]?.u ?? 0)
    expect(Math.min(...us)).toBeCloseTo(1000 - apart, 6)
    expect(Math.max(...us)).toBeCloseTo(1000 + apart, 6)
  })

  it('what faces away is not drawn', () => {
    expect(visiblePixel(surface, camera, { theta: Math.PI, s: 20 })).toBeNull()
    expect(visiblePixel(surface, camera, { theta: 0, s: surface.totalS / 2 })).not.toBeNull()
  })

  it('a ring is one line across the side that faces the camera', () => {
    const curves = ringCurve(surface, camera, surface.rearTangentS)
    expect(curves).toHaveLength(1)
    expect(curves[0]?.length).toBeGreaterThan(100)
  })
})

describe('the line around an oil hole', () => {
  it('keeps its distance from the rim all around, which a larger ellipse does not', () => {
    const hole = { id: 'h', angleDeg: 90, axial: 20, mouthAround: 6, mouthAlong: 16, tiltDeg: 30 }
    const inMm = (distance: number) => oilHoleOutline(surface, hole, distance).map(({ theta, s }) => ({ x: theta * surface.radius, y: s }))
    const rim = inMm(0)
    for (const point of inMm(5)) {
      const nearest = Math.min(...rim.map((other) => Math.hypot(point.x - other.x, point.y - other.y)))
      expect(nearest).toBeGreaterThan(4.98)
      expect(nearest).toBeLessThan(5.06)
    }
  })
})

describe('letters of marks', () => {
  it('do not stand over each other', () => {
    const lines = [0, 4, 8, 12].map((y) => ({
      points: [
        { x: 100, y: 100 + y },
        { x: 160, y: 100 + y },
      ],
      letter: 'a',
      chosen: false,
    }))
    const places = letterPlaces(lines, { x: 0, y: 0, width: 400, height: 300 })
    for (const [index, one] of places.entries())
      for (const other of places.slice(index + 1))
        expect(Math.max(Math.abs((one?.x ?? 0) - (other?.x ?? 0)), Math.abs((one?.y ?? 0) - (other?.y ?? 0)))).toBeGreaterThanOrEqual(20)
  })

  it('keep inside the picture', () => {
    const [at] = letterPlaces(
      [
        {
          points: [
            { x: 300, y: 5 },
            { x: 399, y: 2 },
          ],
          letter: 'a',
          chosen: false,
        },
      ],
      { x: 0, y: 0, width: 400, height: 300 },
    )
    expect(at?.x).toBeLessThanOrEqual(389)
    expect(at?.y).toBeGreaterThanOrEqual(11)
  })
})
