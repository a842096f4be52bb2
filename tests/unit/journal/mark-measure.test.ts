import { describe, expect, it } from 'vitest'
import { independentCovariance, measureMark } from '../../../lib/journal/mark-measure'
import { mouthOf } from '../../../lib/journal/oil-hole'
import { type MapPoint, type Surface, sOfAxial } from '../../../lib/journal/surface'
import type { OilHole } from '../../../lib/model/journal'
import { noiseFrom } from '../../fixtures/render/noise'
import { degrees, journalSurface, radians } from './journals'

const R = 30
const surface = journalSurface()
const hole: OilHole = { id: 'h1', angleDeg: 60, axial: 20, mouthAround: 8, mouthAlong: 8, tiltDeg: 0 }
const at = (around: number, axial: number): MapPoint => ({ theta: around / R, s: sOfAxial(surface, axial) })
const options = (vertices: readonly MapPoint[], sigma: number, on: Surface = surface, axialGiven = true) => ({
  covariance: independentCovariance(
    on,
    vertices,
    sigma,
    vertices.map(() => axialGiven),
  ),
  stretch: 6,
  boundFactor: 1.645,
})
const line = (vertices: MapPoint[], sigma = 0, holes: OilHole[] = [hole]) =>
  measureMark(
    surface,
    holes.map((h) => mouthOf(surface, h)),
    'line',
    vertices,
    options(vertices, sigma),
  )
const area = (vertices: MapPoint[], sigma = 0) => measureMark(surface, [mouthOf(surface, hole)], 'area', vertices, options(vertices, sigma))

describe('what is measured of a line', () => {
  it('distances to both tangent lines along the meridian, below zero past them', () => {
    const { fillets } = line([at(0, 10), at(5, 1)])
    expect(fillets.front.value).toBeCloseTo(2.5 * Math.acos(1 - 1 / 2.5) - (2.5 * Math.PI) / 2, 9)
    expect(fillets.rear.value).toBeCloseTo(26, 9)
  })

  it('extent around and along, and every hole of the journal', () => {
    const two = line([at(0, 10), at(12, 16), at(6, 18)], 0, [hole, { ...hole, id: 'h2', angleDeg: 240 }])
    expect(two.around).toBeCloseTo(12 / R, 12)
    expect(two.along).toBeCloseTo(8, 9)
    expect(two.holes.map((h) => h.id)).toEqual(['h1', 'h2'])
    expect(two.holes[1].distance.value).toBeGreaterThan(two.holes[0].distance.value)
  })
})

describe('aim of a line', () => {
  const centre = radians(60) * R
  it('its nearer end counts, by the direction of its last 6 mm', () => {
    // the long leg passes by; the last 6 mm turn towards the hole
    const bent = line([at(centre - 40, 28), at(centre - 14, 28), at(centre - 7, 24)])
    expect(bent.holes[0].aimed).toBe(true)
    const straightOn = line([at(centre - 40, 28), at(centre - 14, 28)])
    expect(straightOn.holes[0].aimed).toBe(false)
  })

  it('a line that leads away from the hole is not aimed at it', () => {
    expect(line([at(centre - 30, 20), at(centre - 20, 10)]).holes[0].aimed).toBe(false)
    expect(line([at(centre - 30, 11), at(centre - 20, 14)]).holes[0].aimed).toBe(true)
    expect(line([at(centre - 20, 14), at(centre - 30, 11)]).holes[0].aimed).toBe(true)
  })

  it('a point that was tapped twice at the end changes nothing', () => {
    const [far, close] = [at(centre + 25, 35), at(centre + 10, 26)]
    expect(line([far, close]).holes[0].aimed).toBe(true)
    expect(line([far, close, close]).holes[0].aimed).toBe(true)
    expect(line([close, close, far]).holes[0].aimed).toBe(true)
  })

  it('is widened by 1.645 sigma of the end’s direction', () => {
    // past the mouth by 2 degrees; sigma of the direction of 10 mm with 0.3 mm at both ends is 2.4 degrees
    const toTangent = Math.asin(4 / 20)
    const miss = toTangent + radians(2)
    const end = at(centre - 20, 20)
    const back = { theta: end.theta - (10 * Math.cos(miss)) / R, s: end.s - 10 * Math.sin(miss) }
    expect(line([back, end], 0).holes[0].aimed).toBe(false)
    expect(line([back, end], 0.3).holes[0].aimed).toBe(true)
  })
})

describe('what is measured of an area', () => {
  it('as long as three times its width has the direction of its longer axis, less than that none', () => {
    const slender = area([at(0, 10), at(6, 16), at(5, 17), at(-1, 11)])
    expect(slender.directed).toBe(true)
    expect(degrees(slender.angle?.value ?? 0)).toBeCloseTo(45, 6)
    const square = area([at(0, 10), at(4, 10), at(4, 13), at(0, 13)])
    expect(square).toMatchObject({ directed: false, angle: null, worstAngle: null, resultant: null })
    expect(square.rectangle?.longest).toBeCloseTo(4, 9)
    expect(square.rectangle?.shortest).toBeCloseTo(3, 9)
    expect(area([at(0, 10), at(9, 10), at(9, 13), at(0, 13)]).directed).toBe(true)
  })

  it('about the whole mouth lies in it', () => {
    const c = radians(60) * R
    expect(area([at(c - 9, 10), at(c + 9, 10), at(c + 9, 30), at(c - 9, 30)]).holes[0].distance.value).toBeLessThan(0)
  })
})

describe('standard deviations', () => {
  it.each([
    [2, 8.1],
    [5, 3.2],
    [10, 1.6],
    [20, 0.8],
  ])('of the angle of a two-point line %s mm long with 0.2 mm at both ends: %s degrees (GUM, JCGM 100: sqrt 2 u / L)', (length, sigma) => {
    for (const lean of [0, 30, 45, 90]) {
      const [dx, ds] = [length * Math.sin(radians(lean)), length * Math.cos(radians(lean))]
      const measured = line([at(3, 8), { theta: (3 + dx) / R, s: at(3, 8).s + ds }], 0.2)
      expect(degrees(measured.angle?.sigma ?? 0)).toBeCloseTo(sigma, 1)
      expect(measured.length.sigma).toBeCloseTo(Math.SQRT2 * 0.2, 6)
    }
  })

  const uncertain = journalSurface({
    front: { form: 'tangent', radius: 2.5, sigma: 0.2 },
    rear: { form: 'tangent', radius: 4, sigma: 0.3 },
  })
  const filletSigmas = (vertices: MapPoint[], sigma: number, axialGiven: boolean) => {
    const { fillets } = measureMark(uncertain, [], 'line', vertices, options(vertices, sigma, uncertain, axialGiven))
    return [fillets.front.sigma, fillets.rear.sigma]
  }
  const place = (axial: number): MapPoint => ({ theta: 1, s: sOfAxial(uncertain, axial) })

  it('of a fillet distance measured along the shaft: the tangent line moves by as much as the radius', () => {
    const [front, rear] = filletSigmas([place(10), place(30)], 0.3, true)
    expect(front).toBeCloseTo(Math.hypot(0.3, 0.2), 6)
    expect(rear).toBeCloseTo(Math.hypot(0.3, 0.3), 6)
  })

  it('of one measured along the surface from the front cheek: by pi / 2 of the radius', () => {
    expect(filletSigmas([place(10), place(12)], 0.3, false)[0]).toBeCloseTo(Math.hypot(0.3, (Math.PI / 2) * 0.2), 5)
  })

  it.each([0.4, 1.5, 2.4])('of a place %s mm from the cheek in a fillet of uncertain radius: as drawn at random', (axial) => {
    const noise = noiseFrom(5)
    const draws = Array.from({ length: 20_000 }, () => {
      const r = 2.5 + 0.05 * noise.normal()
      return axial < r ? r * Math.acos(1 - axial / r) - (r * Math.PI) / 2 : axial - r
    })
    const mean = draws.reduce((a, b) => a + b) / draws.length
    const spread = Math.sqrt(draws.reduce((a, b) => a + (b - mean) ** 2, 0) / draws.length)
    const narrow = journalSurface({ front: { form: 'tangent', radius: 2.5, sigma: 0.05 }, rear: { form: 'step' } })
    const vertices = [axial, 10].map((z) => ({ theta: 0, s: sOfAxial(narrow, z) }))
    const { fillets } = measureMark(narrow, [], 'line', vertices, options(vertices, 0, narrow))
    expect(fillets.front.sigma / spread).toBeGreaterThan(0.93)
    expect(fillets.front.sigma / spread).toBeLessThan(1.07)
  })

  it('of angle, length, fillet and hole of a crooked line: as its vertices drawn at random say, correlated ones too', () => {
    const vertices = [at(8, 6), at(13, 12), at(16, 19), at(22, 20.5)]
    const own = 0.15
    const shared = [0.2, 0.1]
    const covariance = options(vertices, own).covariance
    const size = 2 * vertices.length + 2
    for (let i = 0; i < 8; i++) for (let j = 0; j < 8; j++) if (i % 2 === j % 2) covariance[i * size + j] += shared[i % 2] ** 2
    const claimed = measureMark(surface, [mouthOf(surface, hole)], 'line', vertices, { covariance, stretch: 6, boundFactor: 1.645 })
    const noise = noiseFrom(11)
    const draws = Array.from({ length: 6000 }, () => {
      const [du, dv] = [shared[0] * noise.normal(), shared[1] * noise.normal()]
      return flatNumbers(vertices.map(({ theta, s }) => [theta * R + du + own * noise.normal(), s + dv + own * noise.normal()] as const))
    })
    const spreadOf = (key: keyof ReturnType<typeof flatNumbers>) => {
      const mean = draws.reduce((sum, d) => sum + d[key], 0) / draws.length
      return Math.sqrt(draws.reduce((sum, d) => sum + (d[key] - mean) ** 2, 0) / draws.length)
    }
    const near = (value: number, truth: number) => {
      expect(value / truth).toBeGreaterThan(0.95)
      expect(value / truth).toBeLessThan(1.05)
    }
    near(degrees(claimed.angle?.sigma ?? 0), spreadOf('angleDeg'))
    near(claimed.length.sigma, spreadOf('length'))
    near(claimed.fillets.front.sigma, spreadOf('front'))
    near(claimed.holes[0].distance.sigma, spreadOf('hole'))
  })
})

/** The same numbers on the flat map of the cylinder, where segments are straight lines and the round mouth is a circle. */
function flatNumbers(points: readonly (readonly [number, number])[]) {
  let [length, c, s, hole] = [0, 0, 0, Number.POSITIVE_INFINITY]
  const [hx, hy] = [radians(60) * R, sOfAxial(surface, 20)]
  for (let i = 1; i < points.length; i++) {
    const [dx, dy] = [points[i][0] - points[i - 1][0], points[i][1] - points[i - 1][1]]
    const size = Math.hypot(dx, dy)
    length += size
    c += size * Math.cos(2 * Math.atan2(dx, dy))
    s += size * Math.sin(2 * Math.atan2(dx, dy))
    const t = Math.max(0, Math.min(1, ((hx - points[i - 1][0]) * dx + (hy - points[i - 1][1]) * dy) / (size * size)))
    hole = Math.min(hole, Math.hypot(points[i - 1][0] + t * dx - hx, points[i - 1][1] + t * dy - hy) - 4)
  }
  return { length, angleDeg: degrees(Math.atan2(s, c) / 2), front: Math.min(...points.map((p) => p[1])) - (2.5 * Math.PI) / 2, hole }
}
