import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { aimsAt, mouthDistance, mouthOf } from '../../../lib/journal/oil-hole'
import type { MapPoint } from '../../../lib/journal/surface'
import type { OilHole } from '../../../lib/model/journal'
import { journalSurface, radians } from './journals'

const surface = journalSurface()
const R = 30
const hole: OilHole = { id: 'h1', angleDeg: 60, axial: 20, mouthAround: 8, mouthAlong: 10, tiltDeg: 0 }
const mouth = mouthOf(surface, hole)
/** A place by mm around and along from a hole's centre. */
const from = (centre: MapPoint, around: number, along: number): MapPoint => ({ theta: centre.theta + around / R, s: centre.s + along })
const near = (around: number, along: number) => from(mouth.centre, around, along)
const distance = (vertices: MapPoint[], closed = false, of = mouth) => mouthDistance(surface, of, vertices, closed).distance

/** The long axis of a right-hand tilted mouth leans like / on the map: towards greater angles to the rear. */
function rimOf({ mouthAround, mouthAlong, tiltDeg }: OilHole, count = 3600): [number, number][] {
  const t = radians(tiltDeg)
  return Array.from({ length: count }, (_, k) => {
    const a = (mouthAround / 2) * Math.cos((2 * Math.PI * k) / count)
    const b = (mouthAlong / 2) * Math.sin((2 * Math.PI * k) / count)
    return [a * Math.cos(t) + b * Math.sin(t), -a * Math.sin(t) + b * Math.cos(t)]
  })
}

/** Least distance from the rim to a polyline of (around, along) about the hole's centre, by many places on both. */
function gapBySampling(rim: [number, number][], line: [number, number][]): number {
  let least = Number.POSITIVE_INFINITY
  for (let i = 1; i < line.length; i++)
    for (const [px, py] of rim) {
      const [ax, ay] = line[i - 1]
      const [dx, dy] = [line[i][0] - ax, line[i][1] - ay]
      const size = dx * dx + dy * dy
      const t = size > 0 ? Math.max(0, Math.min(1, ((px - ax) * dx + (py - ay) * dy) / size)) : 0
      least = Math.min(least, Math.hypot(px - ax - t * dx, py - ay - t * dy))
    }
  return least
}

/** Does any of many places of a polyline lie in the mouth? */
function entersBySampling({ mouthAround, mouthAlong, tiltDeg }: OilHole, line: [number, number][]): boolean {
  const t = radians(tiltDeg)
  return line.slice(1).some(([bx, by], i) =>
    Array.from({ length: 401 }, (_, k) => k / 400).some((share) => {
      const x = line[i][0] + share * (bx - line[i][0])
      const y = line[i][1] + share * (by - line[i][1])
      const across = x * Math.cos(t) - y * Math.sin(t)
      const along = x * Math.sin(t) + y * Math.cos(t)
      return (2 * across) ** 2 / mouthAround ** 2 + (2 * along) ** 2 / mouthAlong ** 2 < 1
    }),
  )
}

describe('distance of a line to the mouth', () => {
  it('a line along the shaft 3 mm beside the mouth lies 3 mm from it', () => {
    expect(distance([near(7, -8), near(7, 8)])).toBeCloseTo(3, 10)
    expect(distance([near(-7, -8), near(-7, 8)])).toBeCloseTo(3, 10)
    expect(distance([near(-9, 7), near(9, 7)])).toBeCloseTo(2, 10)
  })

  it('agrees with many places on a tilted rim', () => {
    const place = fc.tuple(fc.double({ min: -14, max: 14, noNaN: true }), fc.double({ min: -14, max: 14, noNaN: true }))
    const tilt = fc.double({ min: -90, max: 90, noNaN: true })
    fc.assert(
      fc.property(fc.array(place, { minLength: 2, maxLength: 4 }), tilt, (line, tiltDeg) => {
        const turned = { ...hole, tiltDeg }
        const truth = gapBySampling(rimOf(turned), line)
        const found = distance(
          line.map(([x, y]) => near(x, y)),
          false,
          mouthOf(surface, turned),
        )
        // within the mouth the distance is negative: only its sign is known from sampling
        if (entersBySampling(turned, line)) expect(found).toBeLessThan(0.001)
        else expect(found).toBeCloseTo(truth, 2)
      }),
      { numRuns: 150 },
    )
  })

  it('a tilted mouth leans like /: its rearward tip lies at greater angles', () => {
    const turned = mouthOf(surface, { ...hole, mouthAround: 4, mouthAlong: 12, tiltDeg: 30 })
    const tip: [number, number] = [6 * Math.sin(radians(30)), 6 * Math.cos(radians(30))]
    expect(distance([near(tip[0], tip[1])], false, turned)).toBeCloseTo(0, 9)
    expect(distance([near(-tip[0], tip[1])], false, turned)).toBeGreaterThan(2)
    const left = mouthOf(surface, { ...hole, mouthAround: 4, mouthAlong: 12, tiltDeg: -30 })
    expect(distance([near(-tip[0], tip[1])], false, left)).toBeCloseTo(0, 9)
  })

  it('a line inside, and one that crosses, have a distance below zero', () => {
    expect(distance([near(-1, 0), near(1, 0)])).toBeCloseTo(-4, 9)
    expect(distance([near(-20, 0), near(20, 0)])).toBeCloseTo(-4, 9)
    expect(distance([near(3, -20), near(3, 20)])).toBeCloseTo(-1, 9)
  })

  it('an area that encloses the whole mouth touches it, one beside it does not', () => {
    const box = (x: number, y: number, w: number, h: number) => [near(x, y), near(x + w, y), near(x + w, y + h), near(x, y + h)]
    expect(distance(box(-12, -12, 24, 24), true)).toBeLessThan(0)
    expect(distance(box(-12, -12, 24, 24), false)).toBeGreaterThan(0)
    expect(distance(box(10, -3, 4, 4), true)).toBeCloseTo(6, 9)
    // only its closing side comes near
    expect(distance([near(-6, -9), near(-20, 0), near(-6, 9)], true)).toBeCloseTo(2, 9)
  })

  it('wraps: a hole at 2 degrees is near a line at 358, a hair below zero, and one drawn past 360 or two turns on', () => {
    const atZero = mouthOf(surface, { ...hole, angleDeg: 2 })
    const truth = R * radians(4) - 4
    expect(truth).toBeLessThan(0)
    const small = mouthOf(surface, { ...hole, angleDeg: 2, mouthAround: 1, mouthAlong: 1 })
    for (const deg of [358, -2, 718, -362]) {
      const line = [{ theta: radians(deg), s: small.centre.s }]
      expect(distance(line, false, small)).toBeCloseTo(R * radians(4) - 0.5, 9)
      expect(distance(line, false, atZero)).toBeCloseTo(truth, 9)
    }
    for (const theta of [-1e-17, 0, 2 * Math.PI]) {
      expect(distance([{ theta, s: small.centre.s }], false, small)).toBeCloseTo(R * radians(2) - 0.5, 9)
    }
    // a line that starts at 300 and runs past 360 up to 365 passes a hole at 2 degrees
    expect(
      distance(
        [
          { theta: radians(300), s: small.centre.s },
          { theta: radians(365), s: small.centre.s },
        ],
        false,
        small,
      ),
    ).toBeCloseTo(-0.5, 9)
  })

  it('does not depend on how many turns the hole or the line is written with', () => {
    const turns = fc.integer({ min: -2, max: 2 })
    const deg = fc.double({ min: 0, max: 360, noNaN: true })
    fc.assert(
      fc.property(deg, deg, turns, turns, (at, lineAt, holeTurns, lineTurns) => {
        const plain = mouthOf(surface, { ...hole, angleDeg: at })
        const wound = mouthOf(surface, { ...hole, angleDeg: at + 360 * holeTurns })
        const line = (extra: number) => [0, 40].map((more) => ({ theta: radians(lineAt + more + extra), s: 22 }))
        expect(distance(line(360 * lineTurns), false, wound)).toBeCloseTo(distance(line(0), false, plain), 8)
      }),
      { numRuns: 100 },
    )
  })

  it('a mouth that reaches into the fillet is met there', () => {
    const low = mouthOf(surface, { ...hole, axial: 5, mouthAlong: 9 })
    // the tangent line lies at axial 2.5: 1 mm of arc past it is 3.5 mm from the centre, still inside the mouth
    expect(distance([from(low.centre, 0, -3.5)], false, low)).toBeCloseTo(-1, 6)
    expect(distance([from(low.centre, 0, -5.5)], false, low)).toBeCloseTo(1, 9)
  })

  it('names the segment, the place on it and the direction in which the distance grows', () => {
    const found = mouthDistance(surface, mouth, [near(20, 20), near(7, 8), near(7, -4)], false)
    expect(found.segment).toBe(1)
    expect(found.t).toBeCloseTo(8 / 12, 6)
    expect(found.normal[0]).toBeCloseTo(1, 6)
    expect(found.normal[1]).toBeCloseTo(0, 6)
  })
})

describe('aim', () => {
  const towards = (x: number, y: number): [number, number] => [-x / Math.hypot(x, y), -y / Math.hypot(x, y)]

  it('a straight extension through the centre meets the mouth, one turned away does not', () => {
    const end = near(10, 10)
    expect(aimsAt(surface, mouth, end, towards(10, 10), 0)).toBe(true)
    expect(aimsAt(surface, mouth, end, [1, 0], 0)).toBe(false)
    const [dx, dy] = towards(10, 10)
    expect(aimsAt(surface, mouth, end, [-dx, -dy], 0)).toBe(false)
  })

  it('the limit is the tangent: agrees with rays against many places on the rim', () => {
    const place = fc.double({ min: -25, max: 25, noNaN: true })
    const heading = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true })
    fc.assert(
      fc.property(place, place, heading, fc.double({ min: -80, max: 80, noNaN: true }), (x, y, angle, tiltDeg) => {
        const turned = { ...hole, tiltDeg }
        const rim = rimOf(turned, 1440)
        const direction: [number, number] = [Math.sin(angle), Math.cos(angle)]
        // the ray meets the convex mouth where rim places lie on both its hands, ahead of the end
        const ahead = rim.map(([px, py]) => ({
          along: (px - x) * direction[0] + (py - y) * direction[1],
          across: (px - x) * direction[1] - (py - y) * direction[0],
        }))
        const inFront = ahead.filter((p) => p.along > 0)
        const most = Math.max(...inFront.map((p) => p.across))
        const least = Math.min(...inFront.map((p) => p.across))
        if (Math.abs(most) < 0.02 || Math.abs(least) < 0.02 || inFront.length < rim.length) return
        expect(aimsAt(surface, mouthOf(surface, turned), near(x, y), direction, 0)).toBe(most > 0 && least < 0)
      }),
      { numRuns: 400 },
    )
  })

  it('is widened by the spread, and across the zero line', () => {
    const end = near(20, 0)
    // the mouth seen from 20 mm beside its centre spans asin-like angles about straight at it
    const off: [number, number] = [-Math.cos(radians(30)), Math.sin(radians(30))]
    expect(aimsAt(surface, mouth, end, off, 0)).toBe(false)
    expect(aimsAt(surface, mouth, end, off, radians(20))).toBe(true)
    const atZero = mouthOf(surface, { ...hole, angleDeg: 5 })
    expect(aimsAt(surface, atZero, { theta: radians(340), s: atZero.centre.s }, [1, 0], 0)).toBe(true)
    expect(aimsAt(surface, atZero, { theta: radians(340), s: atZero.centre.s }, [-1, 0], 0)).toBe(false)
  })

  it('from within the mouth always meets it', () => {
    expect(aimsAt(surface, mouth, near(1, 1), [1, 0], 0)).toBe(true)
  })
})
