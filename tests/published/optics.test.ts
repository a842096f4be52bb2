import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../lib/journal/surface'
import { focalPxOf35, pixelRay, project, type Camera } from '../../lib/photo/camera'
import { emptyPointView, rowView, viewPoint } from '../../lib/photo/row-view'

const surface = surfaceOf({ diameter: 60, width: 40, fillets: { front: { form: 'step' }, rear: { form: 'step' } } })

/** Square on, the axis `distance` mm ahead, picture right towards the rear, at angle 90. */
const squareOn = (distance: number): Camera => ({
  width: 4000,
  height: 3000,
  focalPx: 3000,
  k1: 0,
  rotation: [0, 0, 1, -1, 0, 0, 0, -1, 0],
  translation: [-20, 0, distance],
})

describe('35 mm equivalent on the diagonal of 43.267 mm (CIPA DCG-001; the diagonal of 36 x 24 mm)', () => {
  it('26 mm at 4032 x 3024 px is 3028.6 px; the width convention would give 2912.0', () => {
    expect(focalPxOf35(26, 4032, 3024)).toBeCloseTo(3028.6, 1)
    expect((26 * 4032) / 36).toBeCloseTo(2912, 1)
  })

  it('does not change when the picture is turned', () => {
    expect(focalPxOf35(28, 3024, 4032)).toBe(focalPxOf35(28, 4032, 3024))
  })
})

describe('apparent sides of a cylinder: contour at +-arccos(R / d), image half-angle arcsin(R / d) (Apparent contour: (r - c) . n = 0)', () => {
  it.each([
    [300, 84.261, 5.739],
    [500, 86.56, 3.44],
  ])('R = 30, d = %s: the contour lies %s degrees from the camera, seen %s degrees off the axis', (distance, contourDeg, halfAngleDeg) => {
    const camera = squareOn(distance)
    const row = rowView(surface, camera, 20)
    const point = emptyPointView()
    const sees = (deg: number) => viewPoint(row, Math.cos(((90 + deg) * Math.PI) / 180), Math.sin(((90 + deg) * Math.PI) / 180), point)
    let [low, high] = [0, 90]
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2
      if (sees(middle)) low = middle
      else high = middle
    }
    expect(low).toBeCloseTo(contourDeg, 3)
    sees(low - 1e-9)
    const ray = pixelRay(camera, point)
    const off = Math.acos(-ray.direction[1]) * (180 / Math.PI)
    expect(off).toBeCloseTo(halfAngleDeg, 3)
    const side = project(camera, [
      30 * Math.cos(((90 + contourDeg) * Math.PI) / 180),
      30 * Math.sin(((90 + contourDeg) * Math.PI) / 180),
      20,
    ])
    expect(Math.atan(((side?.v ?? 0) - 1500) / 3000) * (180 / Math.PI)).toBeCloseTo(halfAngleDeg, 3)
  })
})
