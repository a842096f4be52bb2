import { describe, expect, it } from 'vitest'
import { codes, judged, line, mmAround, patch, plainJournal, radius, straight } from './inspected'

const oppositeHole = mmAround(180)

describe('at a radius', () => {
  it('a line 2 mm from the tangent line is a radius crack', () => {
    const finding = judged(straight('k', [0, 4], 10, 90))
    expect(finding).toMatchObject({ pattern: 'radius-crack', concern: 'treat-as-cracked', borderline: false })
    expect(finding.filletNearestMm).toBeCloseTo(2, 9)
    expect(codes(finding)).toContain('in-front-radius-band')
  })

  it.each([
    ['front, radius 2: 3.2 mm', 2, 5.2, 'radius-crack'],
    ['front, a hair beyond 3.2 mm', 2, 5.2001, 'line-around'],
    ['rear, radius 3: 4.5 mm', 3, 60 - 3 - 4.5, 'radius-crack'],
    ['rear, a hair beyond 4.5 mm', 3, 60 - 3 - 4.5001, 'line-around'],
  ])('the band is max(1.5 r, 3.2 mm), the limit inside it: %s', (_, __, axial, pattern) => {
    expect(judged(straight('k', [0, axial], 10, 90)).pattern).toBe(pattern)
  })

  it.each([
    ['an undercut of 4 mm', { form: 'undercut', width: 4 }, 7.2, 7.21],
    ['a step', { form: 'step' }, 3.2, 3.21],
  ])('%s has a band of 3.2 mm', (_, front, inside, outside) => {
    const ends = { fillets: { front, rear: { form: 'step' } } }
    expect(judged(straight('k', [0, inside], 10, 90), ends).pattern).toBe('radius-crack')
    expect(judged(straight('k', [0, outside], 10, 90), ends).pattern).toBe('line-around')
  })

  it('the limit inside holds for any sizes, whatever rounding makes of them', () => {
    for (const r of [1.1, 1.7, 2.3, 3.7, 4.1, 6.3])
      for (const diameter of [38.1, 57.15, 63.5]) {
        const ends = { diameter, fillets: { front: { form: 'tangent', radius: r }, rear: { form: 'step' } } }
        const band = Math.max(1.5 * r, 3.2)
        expect(judged(straight('k', [0, r + band], 10, 90), ends).pattern, `${r} ${diameter}`).toBe('radius-crack')
      }
  })

  it('a line in the fillet reaches 0 mm from it, and into it along the surface', () => {
    const finding = judged(
      line('k', [
        [0, 20],
        [0, 1],
      ]),
    )
    expect(finding.filletFrontMm).toBe(0)
    // half the axial depth of a quarter circle is 60 degrees of its 90
    expect(finding.intoFilletMm).toBeCloseTo(2 * (Math.PI / 2 - Math.PI / 3), 9)
    expect(codes(finding)).toContain('in-front-fillet')
  })

  it('any part of an area counts, whatever the person named it', () => {
    expect(judged(patch('k', [0, 6], 3, 3, { named: 'stain' })).pattern).toBe('radius-crack')
  })

  it.each(['fillet', 'cheek'])('a person saw it enter the %s: enough by itself, in mid-journal too', (seen) => {
    const finding = judged(straight('k', [0, 30], 10, 90, { seen: [seen] }))
    expect(finding.pattern).toBe('radius-crack')
    expect(codes(finding)).toContain(`seen-${seen}`)
  })

  it('comes before the oil hole, and both stand in the reasons', () => {
    const low = [{ ...plainJournal.oilHoles[0], axial: 8 }]
    const finding = judged(
      line('k', [
        [oppositeHole, 3],
        [oppositeHole, 8],
      ]),
      { oilHoles: low },
    )
    expect(finding.pattern).toBe('radius-crack')
    expect(codes(finding)).toEqual(expect.arrayContaining(['in-front-radius-band', 'touches-oil-hole']))
  })
})

describe('at an oil hole', () => {
  const beside = (gap: number): readonly [number, number] => [oppositeHole + 4 + gap, 30]

  it.each([0, 45, 90])('a line that touches the mouth at %s degrees to the axis is an oil-hole crack', (lean) => {
    const finding = judged(straight('k', [oppositeHole, 30], 20, lean))
    expect(finding).toMatchObject({ pattern: 'oil-hole-crack', concern: 'treat-as-cracked' })
    expect(finding.oilHoles?.[0].distanceMm).toBe(0)
  })

  it('0.2 mm from the rim is a touch, more is not', () => {
    expect(judged(straight('k', beside(0.2), 8, 0)).pattern).toBe('oil-hole-crack')
    expect(judged(straight('k', beside(0.21), 8, 0)).pattern).toBe('near-oil-hole')
  })

  it('along the shaft within max(4.8 mm, half the larger axis) is near the hole, the limit inside', () => {
    expect(judged(straight('k', beside(5), 8, 0))).toMatchObject({ pattern: 'near-oil-hole', concern: 'hold' })
    expect(judged(straight('k', beside(5.01), 8, 0)).pattern).toBe('axial-check')
    const small = { oilHoles: [{ ...plainJournal.oilHoles[0], mouthAround: 8, mouthAlong: 8 }] }
    expect(judged(straight('k', beside(4.8), 8, 0), small).pattern).toBe('near-oil-hole')
    expect(judged(straight('k', beside(4.81), 8, 0), small).pattern).toBe('axial-check')
  })

  it('diagonal within the band is an oil-hole crack though it touches nothing and aims elsewhere', () => {
    const finding = judged(straight('k', [oppositeHole + 10, 30], 8, 45))
    expect(finding.pattern).toBe('oil-hole-crack')
    expect(codes(finding)).toContain('in-oil-hole-band')
  })

  it('diagonal and aimed counts up to 2 x the larger axis from the rim', () => {
    const aimedFrom = (distance: number) => {
      // on the line at 45 degrees through the centre; the rim of the ellipse lies at 1 / sqrt(1 / 16 + 1 / 25) * sqrt 2 ... by search
      const rim = 1 / Math.sqrt(0.5 / 16 + 0.5 / 25)
      const at = (d: number) => [oppositeHole + d / Math.SQRT2, 30 + d / Math.SQRT2] as const
      return judged(line('k', [at(rim + distance), at(rim + distance + 5)]))
    }
    expect(aimedFrom(19.9)).toMatchObject({ pattern: 'oil-hole-crack' })
    expect(codes(aimedFrom(19.9))).toContain('aims-at-oil-hole')
    expect(aimedFrom(21)).toMatchObject({ pattern: 'diagonal-crack' })
    const past = judged(straight('k', [oppositeHole + 16, 30], 8, 45))
    expect(past.pattern).toBe('diagonal-crack')
    expect(past.oilHoles?.[0].aimed).toBe(false)
  })

  it('a person saw it enter the hole', () => {
    expect(judged(straight('k', [0, 30], 8, 90, { seen: ['hole'] }))).toMatchObject({
      pattern: 'oil-hole-crack',
      concern: 'treat-as-cracked',
    })
  })

  it('an area near it is near the hole, one that touches or encloses it an oil-hole crack', () => {
    expect(judged(patch('k', [oppositeHole + 10, 30], 4, 4)).pattern).toBe('near-oil-hole')
    expect(judged(patch('k', [oppositeHole + 6, 30], 4.2, 4.2)).pattern).toBe('oil-hole-crack')
    expect(judged(patch('k', [oppositeHole, 30], 24, 24)).pattern).toBe('oil-hole-crack')
  })

  it('of several holes the nearest counts, across the zero line too', () => {
    const holes = { oilHoles: [plainJournal.oilHoles[0], { ...plainJournal.oilHoles[0], id: 'h2', angleDeg: 359 }] }
    const finding = judged(straight('k', [mmAround(1), 30], 4, 0), holes)
    expect(finding.pattern).toBe('oil-hole-crack')
    expect(finding.oilHoles?.map((h) => h.id)).toEqual(['h1', 'h2'])
    expect(finding.oilHoles?.[1].distanceMm).toBe(0)
  })
})

describe('away from both', () => {
  it.each([
    [0, 'axial-check'],
    [20, 'axial-check'],
    [20.001, 'diagonal-crack'],
    [45, 'diagonal-crack'],
    [-45, 'diagonal-crack'],
    [74.999, 'diagonal-crack'],
    [75, 'line-around'],
    [90, 'line-around'],
    [-75, 'line-around'],
    [-20, 'axial-check'],
  ])('a line at %s degrees to the axis: %s', (lean, pattern) => {
    const finding = judged(straight('k', [0, 30], 12, lean))
    expect(finding.pattern).toBe(pattern)
    expect(finding.angleToAxisDeg).toBeCloseTo(Math.abs(lean), 6)
    expect(finding.signedAngleDeg).toBeCloseTo(lean, 6)
    expect(finding.concern).toBe(pattern === 'diagonal-crack' ? 'treat-as-cracked' : 'hold')
  })

  it('the limits of direction are inside whatever radius and length', () => {
    for (let k = 0; k < 60; k++) {
      expect(judged(straight('k', [k, 30], 7 + k / 7, 20)).pattern).toBe('axial-check')
      expect(judged(straight('k', [k, 30], 7 + k / 7, 75)).pattern).toBe('line-around')
    }
  })

  it('a diagonal leg of 6 mm in a line around makes it diagonal', () => {
    const c = Math.cos(Math.PI / 4) * 6
    const finding = judged(
      line('k', [
        [-40, 30],
        [0, 30],
        [c, 30 + c],
        [c + 40, 30 + c],
      ]),
    )
    expect(finding.angleToAxisDeg).toBeGreaterThan(75)
    expect(finding.pattern).toBe('diagonal-crack')
    expect(codes(finding)).toContain('diagonal-stretch')
  })

  it('a line along an overheated journal is treated as cracked, one around it held', () => {
    expect(judged(straight('k', [0, 30], 12, 5), { overheated: true })).toMatchObject({
      pattern: 'axial-check',
      concern: 'treat-as-cracked',
    })
    expect(judged(straight('k', [0, 30], 12, 90), { overheated: true })).toMatchObject({ pattern: 'line-around', concern: 'hold' })
    expect(codes(judged(straight('k', [0, 30], 12, 5), { overheated: true }))).toContain('overheated')
  })

  it.each([
    ['none', 'line-around'],
    ['unknown', 'line-around'],
    ['suspected', 'plating-craze'],
    ['known', 'plating-craze'],
  ])('a line around where plating is %s: %s, hold', (kind, pattern) => {
    const finding = judged(straight('k', [0, 30], 12, 88), { coating: { kind } })
    expect(finding).toMatchObject({ pattern, concern: 'hold' })
    expect(codes(finding)).toContain('coating')
  })

  it('300 degrees around is a ring, also on a plated journal; less is not; it may still be a crack', () => {
    const ring = (from: number, to: number) =>
      line(
        'k',
        [0, 1, 2, 3].map((i) => [mmAround(from + ((to - from) * i) / 3), 30] as const),
      )
    for (const from of [0, 10, 55.5, 100.1])
      expect(judged(ring(from, from + 300), { coating: { kind: 'known' }, oilHoles: [] })).toMatchObject({
        pattern: 'score-ring',
        concern: 'hold',
      })
    expect(judged(ring(10, 309.9), { oilHoles: [] }).pattern).toBe('line-around')
    expect(judged(ring(10, 400), { oilHoles: [] }).aroundDeg).toBeCloseTo(390, 9)
    expect(judged(ring(10, 400), { oilHoles: [] }).reasons.find((r) => r.code === 'ring')?.text).toContain('may still be a crack')
  })

  it('feel changes nothing but the reasons', () => {
    const felt = judged(straight('k', [0, 30], 12, 90, { feel: 'catches' }))
    expect(felt.pattern).toBe('line-around')
    expect(codes(felt)).toContain('feel-catches')
    expect(judged(straight('k', [0, 30], 12, 90, { feel: 'smooth' })).concern).toBe('hold')
  })
})

describe('areas', () => {
  it('a pit or stain that a person named so: small, round, away from everything, no line near', () => {
    expect(judged(patch('k', [0, 30], 4, 3, { named: 'pit' }))).toMatchObject({ pattern: 'pit-or-stain', concern: 'record' })
    expect(judged(patch('k', [0, 30], 5, 4, { named: 'stain' })).pattern).toBe('pit-or-stain')
    expect(judged(patch('k', [0, 30], 5.01, 4, { named: 'stain' })).pattern).toBe('patch')
    expect(judged(patch('k', [0, 30], 4, 3))).toMatchObject({ pattern: 'patch', concern: 'hold' })
  })

  it('5 mm is inside wherever it lies', () => {
    for (let k = 0; k < 40; k++)
      expect(judged(patch('k', [k * 1.3, 30], 5, 3, { named: 'pit' }), { oilHoles: [] }).pattern).toBe('pit-or-stain')
  })

  it('three times as long as wide is a line, also where a person named it a stain', () => {
    expect(judged(patch('k', [0, 30], 1, 2.99, { named: 'stain' })).pattern).toBe('pit-or-stain')
    for (let k = 0; k < 40; k++) {
      expect(judged(patch('k', [k, 30], 1, 3, { named: 'stain' }), { oilHoles: [] }).pattern).toBe('axial-check')
      expect(judged(patch('k', [k, 30], 4.5, 1.5, { named: 'stain' }), { oilHoles: [] }).pattern).toBe('line-around')
    }
    expect(judged(patch('k', [0, 30], 12, 2)).angleToAxisDeg).toBeCloseTo(90, 6)
  })

  it('a diagonal slender area is a diagonal crack', () => {
    const c = Math.SQRT1_2
    const at = (u: number, v: number) => [(u + v) * c, 30 + (u - v) * c] as const
    const finding = judged(line('k', [at(0, 0), at(9, 0), at(9, 2), at(0, 2)], { shape: 'area' }))
    expect(finding.pattern).toBe('diagonal-crack')
    expect(finding.lengthMm).toBeCloseTo(9, 6)
  })

  it('on a journal of another diameter the same degrees are other millimetres', () => {
    const mark = patch('k', [0, 30], 5, 4, { named: 'pit' })
    expect(judged(mark, { diameter: 2 * radius * 1.01 }).pattern).toBe('patch')
  })
})
