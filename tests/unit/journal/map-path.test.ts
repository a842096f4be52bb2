import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { endPieces, meanDirection, pathPieces, worstStretchAngle } from '../../../lib/journal/map-path'
import type { MapPoint } from '../../../lib/journal/surface'
import { degrees, edgeRadius, journalSurface, plainEnds, radians } from './journals'

const surface = journalSurface()
const measured = (vertices: MapPoint[]) => meanDirection(pathPieces(surface, vertices))
/** A line on the cylinder from mid-journal: so many mm at so many degrees to the axis. */
const leg = (from: MapPoint, length: number, angleDeg: number): MapPoint => ({
  theta: from.theta + (length * Math.sin(radians(angleDeg))) / 30,
  s: from.s + length * Math.cos(radians(angleDeg)),
})
const middle: MapPoint = { theta: 1, s: 20 }

type Step = { length: number; angle: number }

/** Tiny straight steps of a line on the map, each with the radius of the definition where it lies. */
function tinySteps(vertices: readonly MapPoint[], perSegment = 4000): Step[] {
  const steps: Step[] = []
  for (let i = 1; i < vertices.length; i++)
    for (let k = 0; k < perSegment; k++) {
      const s = vertices[i - 1].s + ((k + 0.5) / perSegment) * (vertices[i].s - vertices[i - 1].s)
      const along = (vertices[i].s - vertices[i - 1].s) / perSegment
      const around = ((vertices[i].theta - vertices[i - 1].theta) / perSegment) * radiusByArc(s)
      steps.push({ length: Math.hypot(along, around), angle: Math.atan2(around, along) })
    }
  return steps
}

/** rho of s by the turn of the quarter torus: z = r (1 - cos(s / r)). */
function radiusByArc(s: number): number {
  const total = 40 - 6.5 + (6.5 * Math.PI) / 2
  if (s < (2.5 * Math.PI) / 2) return edgeRadius(30, 40, plainEnds, 2.5 * (1 - Math.cos(s / 2.5)))
  if (total - s < (4 * Math.PI) / 2) return edgeRadius(30, 40, plainEnds, 40 - 4 * (1 - Math.cos((total - s) / 4)))
  return 30
}

function sums(steps: readonly Step[]): { length: number; c: number; s: number } {
  return steps.reduce(
    (sum, { length, angle }) => ({
      length: sum.length + length,
      c: sum.c + length * Math.cos(2 * angle),
      s: sum.s + length * Math.sin(2 * angle),
    }),
    { length: 0, c: 0, s: 0 },
  )
}

/** The mean of every window of tiny steps that is `stretch` long; the one nearest to 45 degrees. */
function worstByWindows(steps: readonly Step[], stretch: number): number {
  const total = sums(steps)
  if (total.length <= stretch) return Math.abs(degrees(Math.atan2(total.s, total.c) / 2))
  let [end, length, c, s, worst] = [0, 0, 0, 0, 1000]
  for (const first of steps) {
    while (end < steps.length && length < stretch) {
      length += steps[end].length
      c += steps[end].length * Math.cos(2 * steps[end].angle)
      s += steps[end].length * Math.sin(2 * steps[end].angle)
      end++
    }
    if (length < stretch - 1e-9) break
    const angle = Math.abs(degrees(Math.atan2(s, c) / 2))
    if (Math.abs(angle - 45) < Math.abs(worst - 45)) worst = angle
    length -= first.length
    c -= first.length * Math.cos(2 * first.angle)
    s -= first.length * Math.sin(2 * first.angle)
  }
  return worst
}

describe('length and direction on the cylinder', () => {
  it('10 mm at 45 degrees on 60 mm diameter is 7.071 mm along and 13.505 degrees around (closed form)', () => {
    const line = [middle, { theta: middle.theta + radians(13.505), s: middle.s + 7.071 }]
    expect(measured(line).length).toBeCloseTo(10, 3)
    expect(degrees(measured(line).angle ?? 0)).toBeCloseTo(45, 2)
  })

  it('is the straight line of the unrolled surface, whatever its direction', () => {
    for (const angleDeg of [0, 12, 45, 89, 90, -1, -45, -89]) {
      const { length, angle, resultant } = measured([middle, leg(middle, 12, angleDeg)])
      expect(length).toBeCloseTo(12, 10)
      expect(degrees(angle ?? 0)).toBeCloseTo(angleDeg, 8)
      expect(resultant).toBeCloseTo(1, 10)
    }
  })

  it('around the journal is +90, never -90, and a line drawn backwards is the same line', () => {
    expect(degrees(measured([middle, { theta: 0.5, s: 20 }]).angle ?? 0)).toBe(90)
    expect(degrees(measured([{ theta: 0.5, s: 20 }, middle]).angle ?? 0)).toBe(90)
    const line = [middle, leg(middle, 4, 30), leg(leg(middle, 4, 30), 5, 60)]
    expect(measured([...line].reverse()).angle).toBeCloseTo(measured(line).angle ?? 0, 12)
  })

  it('averages axial data by doubled angles: 35 and 355 degrees give 15, not 195', () => {
    const line = [middle, leg(middle, 5, 35), leg(leg(middle, 5, 35), 5, -5)]
    expect(degrees(measured(line).angle ?? 0)).toBeCloseTo(15, 9)
    expect(measured(line).resultant).toBeCloseTo(Math.cos(radians(40)), 9)
  })

  it('equal legs at right angles have no direction, a line without length neither', () => {
    const crossed = measured([middle, leg(middle, 5, 45), leg(leg(middle, 5, 45), 5, -45)])
    expect(crossed.angle).toBeNull()
    expect(crossed.resultant).toBeCloseTo(0, 9)
    expect(measured([middle, middle])).toEqual({ angle: null, resultant: 0, length: 0 })
  })

  it('crosses the zero line, starts a hair below it, and runs past 360', () => {
    const over = measured([
      { theta: radians(350), s: 20 },
      { theta: radians(370), s: 20 },
    ])
    expect(over.length).toBeCloseTo(30 * radians(20), 10)
    expect(
      measured([
        { theta: -1e-17, s: 20 },
        { theta: radians(10), s: 20 },
      ]).length,
    ).toBeCloseTo(30 * radians(10), 10)
    const twoTurns = [0, 100, 200, 300, 400, 500, 600, 720].map((deg) => ({ theta: radians(deg), s: 10 + deg / 100 }))
    expect(measured(twoTurns).length).toBeCloseTo(Math.hypot(30 * radians(720), 7.2), 8)
  })
})

describe('length and direction in the fillets', () => {
  it('around the cheek edge counts with R + r, around the tangent line with R', () => {
    expect(
      measured([
        { theta: 0, s: 0 },
        { theta: 1, s: 0 },
      ]).length,
    ).toBeCloseTo(32.5, 9)
    expect(
      measured([
        { theta: 0, s: surface.totalS },
        { theta: 1, s: surface.totalS },
      ]).length,
    ).toBeCloseTo(34, 9)
    expect(
      measured([
        { theta: 0, s: surface.frontTangentS },
        { theta: 1, s: surface.frontTangentS },
      ]).length,
    ).toBeCloseTo(30, 9)
  })

  it('of lines anywhere, fillets included, agrees with thousands of tiny steps', () => {
    const place = fc.record({
      theta: fc.double({ min: -1, max: 7, noNaN: true }),
      s: fc.double({ min: 0, max: surface.totalS, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.array(place, { minLength: 2, maxLength: 5 }), (vertices) => {
        const truth = sums(tinySteps(vertices))
        if (truth.length < 0.1) return
        const { length, angle, resultant } = measured(vertices)
        expect(length).toBeCloseTo(truth.length, 4)
        expect(resultant).toBeCloseTo(Math.hypot(truth.c, truth.s) / truth.length, 5)
        if (resultant > 0.05) {
          const off = degrees(angle ?? 0) - degrees(Math.atan2(truth.s, truth.c) / 2)
          expect(Math.abs(off - 180 * Math.round(off / 180))).toBeLessThan(1e-3)
        }
      }),
      { numRuns: 60 },
    )
  })
})

describe('the worst 6 mm', () => {
  it('of a line shorter than 6 mm is the whole line', () => {
    const line = [middle, leg(middle, 3, 80), leg(leg(middle, 3, 80), 2, 88)]
    expect(degrees(worstStretchAngle(pathPieces(surface, line), 6) ?? 0)).toBeCloseTo(Math.abs(degrees(measured(line).angle ?? 0)), 9)
  })

  it('finds a diagonal leg of exactly 6 mm in a long line around the journal', () => {
    const a = leg(middle, 30, 90)
    const b = leg(a, 6, 50)
    const line = [middle, a, b, leg(b, 30, 90)]
    expect(degrees(worstStretchAngle(pathPieces(surface, line), 6) ?? 0)).toBeCloseTo(50, 9)
    expect(Math.abs(degrees(measured(line).angle ?? 0))).toBeGreaterThan(75)
  })

  it('a line that turns from along to around passes 45 on the way', () => {
    const a = leg(middle, 10, 5)
    expect(degrees(worstStretchAngle(pathPieces(surface, [middle, a, leg(a, 10, 85)]), 6) ?? 0)).toBeCloseTo(45, 6)
  })

  it('an exact right angle, along and then around, holds no diagonal stretch', () => {
    const a = leg(middle, 9, 0)
    const worst = degrees(worstStretchAngle(pathPieces(surface, [middle, a, leg(a, 9, 90)]), 6) ?? 45)
    expect(Math.min(worst, 90 - worst)).toBeLessThan(1e-6)
  })

  it('agrees with a window slid over tiny steps', () => {
    const turn = fc.double({ min: -90, max: 90, noNaN: true })
    const reach = fc.double({ min: 0.5, max: 9, noNaN: true })
    fc.assert(
      fc.property(fc.array(fc.tuple(reach, turn), { minLength: 2, maxLength: 5 }), (legs) => {
        const line = [middle]
        for (const [length, angleDeg] of legs) line.push(leg(line[line.length - 1], length, angleDeg))
        if (line.some(({ s }) => s < 0 || s > surface.totalS)) return
        const weakest = weakestWindow(line)
        if (weakest < 0.02) return
        const truth = worstByWindows(tinySteps(line), 6)
        const found = degrees(worstStretchAngle(pathPieces(surface, line), 6) ?? 0)
        expect(Math.abs(found - 45)).toBeLessThan(Math.abs(truth - 45) + 0.3)
        expect(Math.abs(found - truth)).toBeLessThan(weakest < 0.25 ? 90 : 0.5)
      }),
      { numRuns: 120 },
    )
  })

  it('the ends of a line are its first and last 6 mm', () => {
    const a = leg(middle, 8, 10)
    const pieces = pathPieces(surface, [middle, a, leg(a, 8, 60)])
    expect(degrees(meanDirection(endPieces(pieces, 6, true)).angle ?? 0)).toBeCloseTo(10, 9)
    expect(degrees(meanDirection(endPieces(pieces, 6, false)).angle ?? 0)).toBeCloseTo(60, 9)
    expect(meanDirection(endPieces(pieces, 10, false)).length).toBeCloseTo(10, 9)
  })
})

/**
 * The least resultant of a 6 mm window, of the whole line where it is shorter. Where directions nearly cancel out the mean turns faster
 * than any step resolves: such lines only bound the answer, and where they cancel out there is none.
 */
function weakestWindow(line: readonly MapPoint[]): number {
  const steps = tinySteps(line, 200)
  let least = 1
  for (let from = 0; from < steps.length; from += 10) {
    let [length, to] = [0, from]
    while (to < steps.length && length < 6) length += steps[to++].length
    if (length < 6 && from > 0) break
    const { c, s } = sums(steps.slice(from, to))
    least = Math.min(least, Math.hypot(c, s) / length)
  }
  return least
}
