import { describe, expect, it } from 'vitest'
import { isDiagonal } from '../../lib/finding/pattern'
import { ellipseDistance } from '../../lib/journal/ellipse'
import { meanDirection, pathPieces, worstStretchAngle } from '../../lib/journal/map-path'
import { mouthDistance, mouthOf } from '../../lib/journal/oil-hole'
import { surfaceOf, surfacePoint } from '../../lib/journal/surface'
import { trueNumbers } from '../fixtures/render/drawn-line'
import { type Metal, meridianLength, placeOf } from '../fixtures/render/metal'
import { noiseFrom } from '../fixtures/render/noise'

const deg = Math.PI / 180

describe('distance from an ellipse against closed forms and brute force', () => {
  it('a circle: distance from the centre less the radius, inside negative', () => {
    for (const [x, y] of [
      [3, 4],
      [0, 0.1],
      [-30, 2],
    ]) {
      expect(ellipseDistance({ a: 2, b: 2 }, x, y).distance).toBeCloseTo(Math.hypot(x, y) - 2, 12)
    }
  })

  it('on the axes: |x| - a beyond the ends; on the long axis within (a^2 - b^2) / a of the centre -b sqrt(1 - x^2 / (a^2 - b^2))', () => {
    const ellipse = { a: 5, b: 3 }
    expect(ellipseDistance(ellipse, 7, 0).distance).toBeCloseTo(2, 12)
    expect(ellipseDistance(ellipse, 0, -7).distance).toBeCloseTo(4, 12)
    expect(ellipseDistance(ellipse, 4.5, 0).distance).toBeCloseTo(-0.5, 12)
    for (const x of [0, 1, 2, -3]) expect(ellipseDistance(ellipse, x, 0).distance).toBeCloseTo(-3 * Math.sqrt(1 - x ** 2 / 16), 12)
    expect(ellipseDistance({ a: 3, b: 5 }, 0, 1).distance).toBeCloseTo(-3 * Math.sqrt(1 - 1 / 16), 12)
  })

  it('along a normal the distance is the way gone: foot + d n outward, and inward up to the evolute', () => {
    const [a, b] = [6, 2.5]
    for (let t = 0.05; t < 6.3; t += 0.37) {
      const foot = [a * Math.cos(t), b * Math.sin(t)]
      const size = Math.hypot(Math.cos(t) / a, Math.sin(t) / b)
      const normal = [Math.cos(t) / a / size, Math.sin(t) / b / size]
      // b^2 / a is the least radius of curvature: up to there every foot is the nearest point.
      for (const way of [0, 0.01, 1, 40, (-0.9 * b * b) / a]) {
        expect(ellipseDistance({ a, b }, foot[0] + way * normal[0], foot[1] + way * normal[1]).distance).toBeCloseTo(way, 9)
      }
    }
  })

  it('brute force: 200 random points against 200,000 points of the rim', () => {
    const noise = noiseFrom(11)
    for (let i = 0; i < 20; i++) {
      const [a, b] = [noise.uniform(1, 8), noise.uniform(1, 8)]
      const rim = Array.from({ length: 200_000 }, (_, k) => [a * Math.cos(k * Math.PI * 1e-5), b * Math.sin(k * Math.PI * 1e-5)])
      for (let k = 0; k < 10; k++) {
        const [x, y] = [noise.uniform(-12, 12), noise.uniform(-12, 12)]
        let least = Number.POSITIVE_INFINITY
        for (const [rx, ry] of rim) least = Math.min(least, (x - rx) ** 2 + (y - ry) ** 2)
        const sign = (x / a) ** 2 + (y / b) ** 2 < 1 ? -1 : 1
        expect(ellipseDistance({ a, b }, x, y).distance).toBeCloseTo(sign * Math.sqrt(least), 6)
      }
    }
  })

  it('a mark to a tilted mouth across the seam: brute force over the whole mark and rim', () => {
    const metal: Metal = {
      radius: 30,
      width: 40,
      front: { form: 'tangent', radius: 3 },
      rear: { form: 'undercut', width: 2 },
      holes: [{ id: 'h1', angleDeg: 355, axial: 18, mouthAround: 8, mouthAlong: 12, tiltDeg: 30 }],
      frontWebRadius: 33,
      rearWebRadius: 31,
      webThickness: 20,
    }
    const surface = surfaceOf({ diameter: 60, width: 40, fillets: { front: metal.front, rear: metal.rear } })
    const noise = noiseFrom(12)
    for (let i = 0; i < 12; i++) {
      const start = noise.uniform(-40, 40)
      const vertices = [0, 1, 2].map((k) => ({ theta: (start + k * noise.uniform(3, 12)) * deg, s: noise.uniform(6, 30) }))
      const [{ distanceMm }] = trueNumbers(metal, { id: 'k', widthMm: 0.2, vertices }).oilHoles
      const ours = mouthDistance(surface, mouthOf(surface, metal.holes[0]), vertices, false).distance
      expect(Math.max(0, ours)).toBeCloseTo(distanceMm, 2)
    }
  })
})

describe('lengths on the surface against closed forms and chords in space', () => {
  const surface = surfaceOf({
    diameter: 60,
    width: 40,
    fillets: { front: { form: 'tangent', radius: 4 }, rear: { form: 'tangent', radius: 2 } },
  })
  const lengthOf = (vertices: { theta: number; s: number }[]) => meanDirection(pathPieces(surface, vertices)).length

  it('a helix on the cylinder is its hypotenuse, a ring its circumference, a meridian its arc', () => {
    expect(lengthOf([{ theta: 0, s: 10 }, { theta: 2, s: 30 }])).toBeCloseTo(Math.hypot(60, 20), 12) // biome-ignore format: one line
    expect(lengthOf([0, 2, 4, 2 * Math.PI].map((theta) => ({ theta, s: 15 })))).toBeCloseTo(60 * Math.PI, 10)
    // At the cheek the ring has radius R + r; half way along the quarter torus R + r (1 - sin 45).
    expect(lengthOf([0, 2, 4, 2 * Math.PI].map((theta) => ({ theta, s: 0 })))).toBeCloseTo(68 * Math.PI, 10)
    expect(lengthOf([0, 2, 4, 2 * Math.PI].map((theta) => ({ theta, s: Math.PI })))).toBeCloseTo(2 * Math.PI * (34 - 4 * Math.SQRT1_2), 10)
    expect(lengthOf([{ theta: 1, s: 0 }, { theta: 1, s: surface.totalS }])).toBeCloseTo(34 + 3 * Math.PI, 10) // biome-ignore format: one line
    expect(surface.totalS).toBeCloseTo(40 - 6 + (6 * Math.PI) / 2, 12)
  })

  const metal: Metal = {
    radius: 30,
    width: 40,
    front: { form: 'tangent', radius: 4 },
    rear: { form: 'tangent', radius: 2 },
    holes: [],
    frontWebRadius: 34,
    rearWebRadius: 32,
    webThickness: 20,
  }

  it('through both fillets: the sum of a million chords between places worked out apart', () => {
    const end = { theta: 1.1, s: meridianLength(metal) }
    const steps = 1_000_000
    let sum = 0
    let last = placeOf(metal, 0, 0)
    for (let k = 1; k <= steps; k++) {
      const next = placeOf(metal, (end.theta * k) / steps, (end.s * k) / steps)
      sum += Math.hypot(next[0] - last[0], next[1] - last[1], next[2] - last[2])
      last = next
    }
    expect(lengthOf([{ theta: 0, s: 0 }, end])).toBeCloseTo(sum, 6)
  })

  it('places in space agree with those worked out apart, both ends', () => {
    for (let s = 0; s <= surface.totalS; s += 0.37) {
      const [ours, theirs] = [surfacePoint(surface, { theta: 2.2, s }), placeOf(metal, 2.2, s)]
      for (let i = 0; i < 3; i++) expect(ours[i]).toBeCloseTo(theirs[i], 10)
    }
  })
})

describe('angles of cracks', () => {
  const plain = (diameter: number) => surfaceOf({ diameter, width: 60, fillets: { front: { form: 'step' }, rear: { form: 'step' } } })
  const angleDeg = (diameter: number, dThetaDeg: number, dz: number) => {
    const vertices = [
      { theta: 0, s: 20 },
      { theta: dThetaDeg * deg, s: 20 + dz },
    ]
    return (meanDirection(pathPieces(plain(diameter), vertices)).angle ?? 0) / deg
  }

  it('map angle = atan(R dtheta / dz): 10 mm at 45 degrees on 60 mm is 13.505 degrees around and 7.071 mm along; 59 mm by mistake gives 44.52, 58.5 mm 44.27 (worked out from the formula)', () => {
    expect(angleDeg(60, 13.505, 7.0711)).toBeCloseTo(45, 2)
    expect(angleDeg(59, 13.505, 7.0711)).toBeCloseTo(44.52, 2)
    expect(Math.abs(angleDeg(58.5, 13.505, 7.0711) - 44.27)).toBeLessThan(0.01)
  })

  /** Direction in which the stress across a cut through the surface is greatest, by trying them all; degrees from the shaft axis. */
  function greatestTension(axialStress: number, shear: number): number {
    let best = { stress: Number.NEGATIVE_INFINITY, deg: 0 }
    for (let k = -90_000; k <= 90_000; k++) {
      const a = (k / 1000) * deg
      const stress = axialStress * Math.cos(a) ** 2 + 2 * shear * Math.cos(a) * Math.sin(a)
      if (stress > best.stress) best = { stress, deg: k / 1000 }
    }
    return best.deg
  }

  it.each([
    [0, 45],
    [0.5, 52],
    [1, 58.3],
    [2, 67.5],
  ])(
    "a surface crack lies across the greatest tension: bending stress %s times the torsional stress gives %s degrees to the axis (mixed mode, worked out from Mohr's circle)",
    (ratio, wantDeg) => {
      // Pure torsion 45 degrees: Technical manuals TM 9-2815-202-34 and -225-34P (45 +- 10 degrees through the oil hole).
      const crackDeg = greatestTension(ratio, 1) + 90
      const along = 8 * Math.cos(crackDeg * deg)
      const around = (8 * Math.sin(crackDeg * deg)) / 30 / deg
      expect(Math.abs(angleDeg(60, around, along))).toBeCloseTo(wantDeg, 1)
      expect(90 - (0.5 * Math.atan2(2, ratio)) / deg).toBeCloseTo(wantDeg, 1)
    },
  )

  it('the directions in which torsion (45 +- 10 degrees, TM 9-2815-225-34P) and twist cracks (45 to 70 degrees, ASTM A456) run count as diagonal', () => {
    for (const angle of [35, 45, 55, 60, 70]) expect(isDiagonal(angle)).toBe(true)
    for (const angle of [0, 20, 75, 90]) expect(isDiagonal(angle)).toBe(false)
  })

  it('reversed torque leaves cracks of both hands', () => {
    const [one, other] = [1, -1].map((shear) => {
      const crackDeg = greatestTension(0, shear) + 90
      return angleDeg(60, (8 * Math.sin(crackDeg * deg)) / 30 / deg, 8 * Math.cos(crackDeg * deg))
    })
    expect(one).toBeCloseTo(-45, 2)
    expect(other).toBeCloseTo(45, 2)
  })

  it('a leg of 6 mm at 45 degrees in a long mark around is found as the worst stretch', () => {
    const across = { theta: (20 + 6 * Math.SQRT1_2) / 30, s: 30 + 6 * Math.SQRT1_2 }
    const vertices = [{ theta: 0, s: 30 }, { theta: 20 / 30, s: 30 }, across, { theta: across.theta + 20 / 30, s: across.s }] // biome-ignore format: one line
    expect((worstStretchAngle(pathPieces(plain(60), vertices), 6) ?? 0) / deg).toBeCloseTo(45, 9)
  })
})
