import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findingsOf, graver, judged, line, type MapMark, mmAround, type Place, plainJournal } from './inspected'

const place: fc.Arbitrary<Place> = fc.tuple(
  fc.double({ min: 0, max: mmAround(360), noNaN: true }),
  fc.double({ min: 0, max: 60, noNaN: true }),
)
const step: fc.Arbitrary<Place> = fc.tuple(fc.double({ min: -12, max: 12, noNaN: true }), fc.double({ min: -12, max: 12, noNaN: true }))
const within = (axial: number) => Math.min(60, Math.max(0, axial))
function walk(from: Place, steps: readonly Place[]): Place[] {
  const path = [from]
  for (const [dx, dz] of steps) {
    const [x, z] = path[path.length - 1]
    path.push([x + dx, within(z + dz)])
  }
  return path
}
const path = fc.tuple(place, fc.array(step, { minLength: 1, maxLength: 4 })).map(([from, steps]) => walk(from, steps))
const sigmaMm = fc.constantFrom(0, 0.1, 0.3, 0.6)
const journal = fc.record({
  overheated: fc.boolean(),
  coating: fc.constantFrom({ kind: 'none' }, { kind: 'unknown' }, { kind: 'suspected' }, { kind: 'known' }),
})
const seen = fc.subarray(['fillet', 'hole', 'cheek', 'branches'])
const runs = { numRuns: 150 }

const lengthOf = (places: readonly Place[]) =>
  places.slice(1).reduce((sum, p, i) => sum + Math.hypot(p[0] - places[i][0], p[1] - places[i][1]), 0)
const near = (a: number | null, b: number | null, digits = 6) =>
  a === null || b === null ? expect(a).toBe(b) : expect(a).toBeCloseTo(b, digits)

describe('nothing lowers a finding', () => {
  it('a straight line of 6 mm or more that is drawn on, whichever way', () => {
    fc.assert(
      fc.property(
        place,
        fc.double({ min: -90, max: 90, noNaN: true }),
        fc.double({ min: 6, max: 15, noNaN: true }),
        fc.array(step, { minLength: 1, maxLength: 3 }),
        sigmaMm,
        journal,
        (from, lean, length, more, sigma, on) => {
          const end: Place = [from[0] + length * Math.sin((lean * Math.PI) / 180), from[1] + length * Math.cos((lean * Math.PI) / 180)]
          if (end[1] < 0 || end[1] > 60) return
          const short = judged(line('k', [from, end], { sigmaMm: sigma }), on)
          const long = judged(line('k', [from, ...walk(end, more)], { sigmaMm: sigma }), on)
          expect(graver(long.concern, short.concern)).toBeGreaterThanOrEqual(0)
        },
      ),
      runs,
    )
  })

  it('any line that is drawn straight on', () => {
    fc.assert(
      fc.property(path, fc.double({ min: 0.5, max: 20, noNaN: true }), sigmaMm, journal, (places, more, sigma, on) => {
        if (places.length !== 2 || lengthOf(places) < 1.9) return
        const [[x0, z0], [x1, z1]] = places
        const share = more / lengthOf(places)
        const end: Place = [x1 + share * (x1 - x0), z1 + share * (z1 - z0)]
        if (end[1] < 2 || end[1] > 57 || Math.min(z0, z1) < 2 || Math.max(z0, z1) > 57) return
        const short = judged(line('k', places, { sigmaMm: sigma }), on)
        const long = judged(line('k', [...places, end], { sigmaMm: sigma }), on)
        // a longer line has a surer angle: what was only possible may drop out, what was named does not
        if (short.pattern === 'unresolved' && on.overheated) return
        expect(graver(long.concern, short.concern)).toBeGreaterThanOrEqual(0)
      }),
      runs,
    )
  })

  it('less certainty, as long as the mark keeps a direction', () => {
    fc.assert(
      fc.property(path, sigmaMm, fc.double({ min: 0, max: 1, noNaN: true }), journal, (places, sigma, more, on) => {
        if (lengthOf(places) < 3 * (sigma + more)) return
        const sure = judged(line('k', places, { sigmaMm: sigma }), on)
        const unsure = judged(line('k', places, { sigmaMm: sigma + more }), on)
        expect(graver(unsure.concern, sure.concern)).toBeGreaterThanOrEqual(0)
        if (sure.pattern === 'unresolved') expect(unsure.pattern).not.toBe('line-around')
      }),
      runs,
    )
  })

  it('what a person saw or felt, a name, a coating, heat', () => {
    fc.assert(
      fc.property(
        path,
        fc.constantFrom('line', 'area'),
        seen,
        fc.constantFrom('untested', 'smooth', 'catches'),
        fc.constantFrom('unknown', 'suspected', 'known', 'none'),
        (places, shape, saw, feel, kind) => {
          if (shape === 'area' && places.length < 3) return
          const bare = judged(line('k', places, { shape, sigmaMm: 0.1 }))
          const told = judged(line('k', places, { shape, sigmaMm: 0.1, seen: saw, feel }), { coating: { kind } })
          expect(graver(told.concern, bare.concern)).toBeGreaterThanOrEqual(0)
          const hot = judged(line('k', places, { shape, sigmaMm: 0.1, seen: saw, feel }), { overheated: true })
          expect(graver(hot.concern, told.concern)).toBeGreaterThanOrEqual(0)
        },
      ),
      runs,
    )
  })

  it('another mark, whatever groups it makes', () => {
    const marksOf = (paths: readonly (readonly Place[])[]): MapMark[] => paths.map((places, i) => line(`k${i}`, places, { sigmaMm: 0.1 }))
    fc.assert(
      fc.property(
        fc.array(path, { minLength: 1, maxLength: 4 }),
        path,
        fc.constantFrom({ kind: 'none' }, { kind: 'known' }),
        (paths, extra, coating) => {
          const before = findingsOf(marksOf(paths), { coating })
          const after = findingsOf(marksOf([...paths, extra]), { coating })
          before.marks.forEach((mark, i) => {
            expect(graver(after.marks[i].concern, mark.concern)).toBeGreaterThanOrEqual(0)
          })
          expect(graver(after.shaft.concern, before.shaft.concern)).toBeGreaterThanOrEqual(0)
        },
      ),
      runs,
    )
  })

  it('another line beside a network on an overheated journal', () => {
    const spoke = fc.tuple(fc.double({ min: -90, max: 90, noNaN: true }), fc.double({ min: 5, max: 14, noNaN: true }))
    const spokes = (all: readonly (readonly [number, number])[]) =>
      all.map(([deg, length], i) => {
        const [u, v] = [Math.sin((deg * Math.PI) / 180) * (length / 2), Math.cos((deg * Math.PI) / 180) * (length / 2)]
        return line(
          `k${i}`,
          [
            [-u, 30 - v],
            [u, 30 + v],
          ],
          { sigmaMm: 0.1 },
        )
      })
    fc.assert(
      fc.property(
        fc.array(spoke, { minLength: 3, maxLength: 5 }),
        fc.tuple(spoke, fc.double({ min: 1, max: 4, noNaN: true })),
        (all, [[lean, length], longer]) => {
          const extra = [lean, length * longer] as const
          const before = findingsOf(spokes(all), { overheated: true })
          const after = findingsOf(spokes([...all, extra]), { overheated: true })
          before.marks.forEach((mark, i) => {
            expect(graver(after.marks[i].concern, mark.concern)).toBeGreaterThanOrEqual(0)
          })
        },
      ),
      runs,
    )
  })
})

describe('what only looks different', () => {
  const numbers = [
    'lengthMm',
    'angleToAxisDeg',
    'signedAngleDeg',
    'resultant',
    'worstAngleDeg',
    'aroundDeg',
    'alongMm',
    'filletFrontMm',
    'filletRearMm',
    'intoFilletMm',
  ] as const

  it('another zero of the journal changes no length, angle, distance or pattern', () => {
    fc.assert(
      fc.property(path, fc.double({ min: -400, max: 400, noNaN: true }), (places, turn) => {
        const plain = judged(line('k', places, { sigmaMm: 0.1 }))
        const hole = { ...plainJournal.oilHoles[0], angleDeg: 180 + turn }
        const turned = judged(
          line(
            'k',
            places.map(([x, z]) => [x + mmAround(turn), z] as const),
            { sigmaMm: 0.1 },
          ),
          { oilHoles: [hole] },
        )
        for (const key of numbers) if (key !== 'signedAngleDeg') near(turned[key], plain[key])
        near(turned.oilHoles?.[0].distanceMm ?? null, plain.oilHoles?.[0].distanceMm ?? null)
        expect(turned.oilHoles?.[0].aimed).toBe(plain.oilHoles?.[0].aimed)
        expect([turned.pattern, turned.concern, turned.couldBe]).toEqual([plain.pattern, plain.concern, plain.couldBe])
      }),
      runs,
    )
  })

  it('seen in a mirror the hand of the angle turns over and nothing else', () => {
    fc.assert(
      fc.property(path, fc.double({ min: -60, max: 60, noNaN: true }), (places, tiltDeg) => {
        const holes = (sign: number) => ({ oilHoles: [{ ...plainJournal.oilHoles[0], angleDeg: sign * 180, tiltDeg: sign * tiltDeg }] })
        const plain = judged(line('k', places, { sigmaMm: 0.1 }), holes(1))
        const mirrored = judged(
          line(
            'k',
            places.map(([x, z]) => [-x, z] as const),
            { sigmaMm: 0.1 },
          ),
          holes(-1),
        )
        for (const key of numbers) if (key !== 'signedAngleDeg') near(mirrored[key], plain[key])
        if (plain.angleToAxisDeg !== null && plain.angleToAxisDeg < 89.999) near(mirrored.signedAngleDeg, -(plain.signedAngleDeg ?? 0))
        near(mirrored.oilHoles?.[0].distanceMm ?? null, plain.oilHoles?.[0].distanceMm ?? null)
        expect(mirrored.pattern).toBe(plain.pattern)
      }),
      runs,
    )
  })

  it('a segment split in two is the same line', () => {
    fc.assert(
      fc.property(path, fc.double({ min: 0.05, max: 0.95, noNaN: true }), fc.nat(), (places, share, pick) => {
        const i = 1 + (pick % (places.length - 1))
        const [a, b] = [places[i - 1], places[i]]
        // straight on the map is straight in arc: split where that is straight along the axis too
        if ([a, b].some(([, z]) => z < 2 || z > 57)) return
        const middle: Place = [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
        const plain = judged(line('k', places))
        const split = judged(line('k', [...places.slice(0, i), middle, ...places.slice(i)]))
        for (const key of numbers) if (key !== 'signedAngleDeg') near(split[key], plain[key], 5)
        near(split.oilHoles?.[0].distanceMm ?? null, plain.oilHoles?.[0].distanceMm ?? null)
        expect(split.pattern).toBe(plain.pattern)
      }),
      runs,
    )
  })

  it('a line drawn from its other end is the same line', () => {
    fc.assert(
      fc.property(path, (places) => {
        const plain = judged(line('k', places, { sigmaMm: 0.1 }))
        const back = judged(line('k', [...places].reverse(), { sigmaMm: 0.1 }))
        for (const key of numbers) if (key !== 'signedAngleDeg') near(back[key], plain[key])
        expect([back.pattern, back.concern]).toEqual([plain.pattern, plain.concern])
      }),
      runs,
    )
  })
})
