import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { surfaceNormal, surfaceOf, surfacePoint } from '../../../lib/journal/surface'
import { type Camera, cameraPlace, emptySight, look, pixelRay, project } from '../../../lib/photo/camera'
import { pixelToMap } from '../../../lib/photo/unproject'

const c = Math.cos(0.4)
const s = Math.sin(0.4)
/** Stands at angle 0, 250 mm off, leaning 0.4 rad towards the rear; picture right = around, down = front to rear. */
const leaning = (k1: number): Camera => ({
  width: 4000,
  height: 3000,
  focalPx: 3100,
  k1,
  rotation: [0, 1, 0, -s, 0, -c, -c, 0, s],
  translation: [0, 20 * c, 250 - 20 * s],
})

const ends = {
  tangent: { front: { form: 'tangent', radius: 2.5 }, rear: { form: 'tangent', radius: 4 } },
  undercut: { front: { form: 'undercut', width: 3 }, rear: { form: 'tangent', radius: 3 } },
  step: { front: { form: 'step' }, rear: { form: 'undercut', width: 2 } },
} as const

describe('camera', () => {
  it('puts a point straight ahead in the middle of the picture and a ray back through it', () => {
    const camera = leaning(0)
    const place = cameraPlace(camera)
    const { origin, direction } = pixelRay(camera, { u: 2000, v: 1500 })
    expect(origin).toEqual(place)
    expect(direction[0]).toBeCloseTo(-c, 12)
    expect(direction[2]).toBeCloseTo(s, 12)
    expect(project(camera, [place[0] + 50 * c, place[1], place[2] - 50 * s])).toBeNull()
  })

  it.each([0, 0.08, -0.08])('the ray of a projected point passes through it, k1 = %s', (k1) => {
    const camera = leaning(k1)
    const coordinate = fc.double({ min: -60, max: 60, noNaN: true })
    fc.assert(
      fc.property(coordinate, coordinate, coordinate, (x, y, z) => {
        const pixel = project(camera, [x, y, z])
        if (!pixel || Math.hypot(pixel.u - 2000, pixel.v - 1500) > 2400) return
        const { origin, direction } = pixelRay(camera, pixel)
        const to = [x - origin[0], y - origin[1], z - origin[2]]
        const along = to[0] * direction[0] + to[1] * direction[1] + to[2] * direction[2]
        expect(Math.hypot(to[0] - along * direction[0], to[1] - along * direction[1], to[2] - along * direction[2])).toBeLessThan(1e-8)
        expect(Math.hypot(...direction)).toBeCloseTo(1, 12)
      }),
    )
  })

  it('what its derivatives are made of is what small steps show', () => {
    const lens = leaning(0.07)
    const at = [22, -31, 31] as const
    const seen = (more: Partial<Camera>, h: readonly number[] = [0, 0, 0]) => {
      const sight = emptySight()
      if (!look({ ...lens, ...more }, at[0] + h[0], at[1] + h[1], at[2] + h[2], sight)) throw new Error('behind')
      return sight
    }
    const [, , xn, yn, near, xx, xy, yy, square] = seen({})
    for (const i of [0, 1, 2]) {
      const step = (h: number) =>
        seen(
          {},
          [0, 1, 2].map((k) => (k === i ? h : 0)),
        )
      const [forth, back] = [step(1e-4), step(-1e-4)]
      const [x, y, z] = [0, 3, 6].map((row) => lens.rotation[row + i])
      const [dx, dy] = [(x - xn * z) * near, (y - yn * z) * near]
      expect(xx * dx + xy * dy).toBeCloseTo((forth[0] - back[0]) / 2e-4, 5)
      expect(xy * dx + yy * dy).toBeCloseTo((forth[1] - back[1]) / 2e-4, 5)
    }
    const radial = (h: number) => seen({ k1: 0.07 + h })[1]
    expect(square * yn).toBeCloseTo((radial(1e-5) - radial(-1e-5)) / 2e-5, 4)
    expect(seen({})[0]).toBeCloseTo(project(lens, at)?.u ?? Number.NaN, 9)
  })
})

describe('a pixel on the map', () => {
  it.each(Object.keys(ends) as (keyof typeof ends)[])(
    'of a journal with %s ends comes back from where a place was seen, fillets included',
    (form) => {
      const surface = surfaceOf({ diameter: 60, width: 40, fillets: ends[form] })
      for (const k1 of [0, 0.06, -0.06]) {
        const camera = leaning(k1)
        const place = cameraPlace(camera)
        let seen = 0
        for (let theta = -1.3; theta <= 1.3; theta += 0.13)
          for (let at = 0.02; at < surface.totalS; at += 0.31) {
            const point = surfacePoint(surface, { theta, s: at })
            const normal = surfaceNormal(surface, { theta, s: at })
            const facing =
              normal.reduce((sum, n, i) => sum + n * (place[i] - point[i]), 0) / Math.hypot(...point.map((p, i) => place[i] - p))
            const pixel = project(camera, point)
            // a place that hardly faces the camera may lie behind the other edge of its fillet
            if (!pixel || facing < 0.2) continue
            const found = pixelToMap(surface, camera, pixel)
            if (!found.ok) continue
            seen++
            const nearer =
              Math.hypot(...surfacePoint(surface, found.value).map((p, i) => place[i] - p)) <
              Math.hypot(...point.map((p, i) => place[i] - p)) - 0.01
            if (nearer) continue
            expect(found.value.theta).toBeCloseTo(theta, 6)
            expect(found.value.s).toBeCloseTo(at, 5)
          }
        expect(seen).toBeGreaterThan(1200)
      }
    },
  )

  it('beside the journal or past its cheek is said so', () => {
    const surface = surfaceOf({ diameter: 60, width: 40, fillets: ends.step })
    expect(pixelToMap(surface, leaning(0), { u: 20, v: 1500 })).toEqual({ ok: false, reason: { code: 'misses' } })
    const past = pixelToMap(surface, leaning(0), { u: 2000, v: 200 })
    expect(past.ok ? '' : past.reason.code).toBe('beyond-cheek')
  })
})
