import { describe, expect, it } from 'vitest'
import { codes, findingsOf, judged, line, mmAround, patch, plainJournal, straight } from './inspected'

/** Sigma of the direction of a two-point line (GUM, JCGM 100): sqrt 2 u / L, degrees. */
const angleSigma = (u: number, length: number) => (Math.SQRT2 * u * 180) / (Math.PI * length)

describe('distances at their pessimistic bound', () => {
  it('d - 1.645 sigma decides: 3.2 mm band, 0.3 mm sigma reach 3.69 mm', () => {
    const at = (distance: number) => judged(straight('k', [0, 2 + distance], 10, 90, { sigmaMm: 0.3 }))
    expect(at(3.69)).toMatchObject({ pattern: 'radius-crack', borderline: true })
    expect(at(3.69).couldBe).toContain('line-around')
    expect(at(3.7).pattern).toBe('line-around')
    expect(at(2.7).borderline).toBe(false)
    const value = at(3.69).reasons.find((r) => r.code === 'in-front-radius-band')
    expect(value?.value).toBeCloseTo(3.69 - 1.6448536 * 0.3, 6)
    expect(value).toMatchObject({ limit: 3.2, unit: 'mm' })
  })

  it('an uncertain radius widens it: 0.3 mm place and 0.4 mm radius are 0.5 mm', () => {
    const ends = { fillets: { front: { form: 'tangent', radius: 2, sigma: 0.4 }, rear: { form: 'step' } } }
    const at = (distance: number) => judged(straight('k', [0, 2 + distance], 10, 90, { sigmaMm: 0.3 }), ends)
    expect(at(3.2 + 1.64 * 0.5).pattern).toBe('radius-crack')
    expect(at(3.2 + 1.65 * 0.5).pattern).toBe('line-around')
    expect(at(10).sigma.filletMm).toBeCloseTo(0.5, 5)
  })

  it('the same for touching a hole and for its band', () => {
    const beside = (gap: number) => judged(straight('k', [mmAround(180) + 4 + gap, 30], 8, 0, { sigmaMm: 0.1 }))
    // the nearest place lies mid-way: two vertices of 0.1 mm share it, 0.0707 mm
    const bound = 1.6448536 * 0.1 * Math.SQRT1_2
    expect(beside(0.2 + bound - 0.002).pattern).toBe('oil-hole-crack')
    expect(beside(0.2 + bound + 0.002).pattern).toBe('near-oil-hole')
    expect(beside(5 + bound - 0.002).pattern).toBe('near-oil-hole')
    expect(beside(5 + bound + 0.002).pattern).toBe('axial-check')
  })

  it('a mark typed on the map without sigma counts as drawn to 0.3 mm', () => {
    const { sigma } = judged({ ...straight('k', [0, 30], 10, 90), sigmaMm: undefined })
    expect(sigma.angleDeg).toBeCloseTo(angleSigma(0.3, 10), 6)
    expect(sigma.lengthMm).toBeCloseTo(0.3 * Math.SQRT2, 6)
    expect(sigma.filletMm).toBeCloseTo(0.3, 6)
  })
})

describe('an angle whose interval reaches into the diagonal range', () => {
  it('of the mean: unresolved, with what it could be', () => {
    // 1.645 * 2.43 = 4.0 degrees on 10 mm with 0.3 mm
    const half = 1.6448536 * angleSigma(0.3, 10)
    const near = judged(straight('k', [0, 30], 10, 75 + half - 0.05, { sigmaMm: 0.3 }))
    expect(near).toMatchObject({ pattern: 'unresolved', concern: 'hold', borderline: true })
    expect([...near.couldBe].sort()).toEqual(['diagonal-crack', 'line-around'])
    expect(codes(near)).toContain('interval-reaches-diagonal')
    const beyond = judged(straight('k', [0, 30], 10, 75 + half + 0.05, { sigmaMm: 0.3 }))
    expect(beyond).toMatchObject({ pattern: 'line-around', borderline: false, couldBe: [] })
    const along = judged(straight('k', [0, 30], 10, 20 - half + 0.05, { sigmaMm: 0.3 }))
    expect(along.pattern).toBe('unresolved')
    expect([...along.couldBe].sort()).toEqual(['axial-check', 'diagonal-crack'])
    expect(judged(straight('k', [0, 30], 10, 20 - half - 0.05, { sigmaMm: 0.3 })).pattern).toBe('axial-check')
  })

  it('a diagonal mean stays a diagonal crack however uncertain, and says what else it could be', () => {
    const finding = judged(straight('k', [0, 30], 10, 70, { sigmaMm: 1 }))
    expect(finding).toMatchObject({ pattern: 'diagonal-crack', concern: 'treat-as-cracked', borderline: true })
    expect(finding.couldBe).toContain('line-around')
    expect(judged(straight('k', [0, 30], 10, 45, { sigmaMm: 0.1 })).borderline).toBe(false)
  })

  it('an interval that spans the whole diagonal range names the diagonal crack among what it could be', () => {
    // sigma 23 degrees: 15 +- 38 and more
    const finding = judged(straight('k', [0, 30], 10, 12, { sigmaMm: 3.2 }), { width: 200 })
    expect(finding.pattern).toBe('unresolved')
    expect(finding.couldBe).toContain('diagonal-crack')
  })

  it('near a hole it is an oil-hole crack if it proves diagonal', () => {
    const finding = judged(straight('k', [mmAround(180) + 8, 30], 8, 18, { sigmaMm: 0.2 }))
    expect(finding.pattern).toBe('unresolved')
    expect([...finding.couldBe].sort()).toEqual(['near-oil-hole', 'oil-hole-crack'])
  })

  it('on an overheated journal a line that may run along it stays treated as cracked', () => {
    const hot = { overheated: true }
    expect(judged(straight('k', [0, 30], 10, 15, { sigmaMm: 0.1 }), hot)).toMatchObject({
      pattern: 'axial-check',
      concern: 'treat-as-cracked',
    })
    expect(judged(straight('k', [0, 30], 10, 15, { sigmaMm: 0.6 }), hot)).toMatchObject({
      pattern: 'unresolved',
      concern: 'treat-as-cracked',
    })
    expect(judged(straight('k', [mmAround(180) + 8, 30], 8, 0), hot)).toMatchObject({
      pattern: 'near-oil-hole',
      concern: 'treat-as-cracked',
    })
  })
})

describe('a mark too short for a direction', () => {
  it('shorter than 3 pick sigmas has no angles and is unresolved; exactly 3 is not', () => {
    const short = judged(straight('k', [0, 30], 0.89, 45, { sigmaMm: 0.3 }))
    expect(short).toMatchObject({
      pattern: 'unresolved',
      concern: 'hold',
      angleToAxisDeg: null,
      signedAngleDeg: null,
      worstAngleDeg: null,
      resultant: null,
    })
    expect(short.sigma.angleDeg).toBeNull()
    expect(codes(short)).toContain('too-short')
    expect(short.lengthMm).toBeCloseTo(0.89, 9)
    for (let k = 0; k < 40; k++) expect(judged(straight('k', [k, 30], 0.9, 45, { sigmaMm: 0.3 })).pattern).toBe('diagonal-crack')
  })

  it('in the radius band or at the hole it is a crack all the same', () => {
    expect(judged(straight('k', [0, 4], 0.5, 45, { sigmaMm: 0.3 })).pattern).toBe('radius-crack')
    expect(judged(straight('k', [mmAround(180), 30], 0.5, 45, { sigmaMm: 0.3 })).pattern).toBe('oil-hole-crack')
  })

  it('legs that cancel out have no direction either: unresolved unless a stretch is diagonal', () => {
    const finding = judged(
      line('k', [
        [0, 30],
        [2, 30],
        [2, 32],
      ]),
    )
    expect(finding.angleToAxisDeg).toBeNull()
    expect(['unresolved', 'diagonal-crack']).toContain(finding.pattern)
  })
})

describe('a mark in a photo that gives no fit', () => {
  const photo = { id: 'ph1', journalId: 'P1', width: 4000, height: 3000, focalPx: 3000 }
  const onPhoto = (extra: Record<string, unknown> = {}) => ({
    id: 'k',
    journalId: 'P1',
    photoId: 'ph1',
    pixels: [
      [1900, 1500],
      [2100, 1500],
    ],
    ...extra,
  })
  const found = (mark: Record<string, unknown>) => findingsOf([mark], {}, { photos: [photo] })

  it('is unresolved, with nothing measured and the fit to mend first', () => {
    const { marks, photos } = found(onPhoto())
    expect(photos[0]).toMatchObject({ trusted: false, rollKnown: false, slideKnown: false, rmsPx: null, focalPx: null })
    expect(photos[0].warnings[0].text).toContain('pick points')
    expect(marks[0]).toMatchObject({
      pattern: 'unresolved',
      concern: 'hold',
      lengthMm: null,
      angleToAxisDeg: null,
      filletNearestMm: null,
      oilHoles: null,
    })
    expect(marks[0].nextTests[0].code).toBe('mend-fit')
    expect(marks[0].points).toEqual([])
  })

  it('what a person saw stands', () => {
    expect(found(onPhoto({ seen: ['cheek'] })).marks[0].pattern).toBe('radius-crack')
    expect(found(onPhoto({ seen: ['hole'] })).marks[0].pattern).toBe('oil-hole-crack')
    expect(
      found(
        onPhoto({
          shape: 'area',
          named: 'stain',
          pixels: [
            [0, 0],
            [9, 0],
            [9, 9],
          ],
        }),
      ).marks[0].pattern,
    ).toBe('unresolved')
  })
})

describe('numbers of a finding', () => {
  it('hold what was typed: axial and arc of every point, lengths in mm', () => {
    const finding = judged(
      line('k', [
        [0, 10],
        [10, 20],
      ]),
    )
    expect(finding.points[0].axial).toBe(10)
    // a quarter of a circle of 2 mm radius, then straight on
    expect(finding.points[0].s).toBeCloseTo(Math.PI + 8, 9)
    expect(finding.lengthMm).toBeCloseTo(Math.SQRT2 * 10, 9)
    expect(finding.alongMm).toBeCloseTo(10, 9)
    expect(finding.filletFrontMm).toBeCloseTo(8, 9)
    expect(finding.filletRearMm).toBeCloseTo(60 - 3 - 20, 9)
    expect(finding.intoFilletMm).toBe(0)
  })

  it('every finding has next tests, and every reason its words', () => {
    for (const mark of [
      straight('k', [0, 30], 10, 45),
      straight('k', [0, 4], 10, 90),
      patch('k', [0, 30], 4, 4),
      straight('k', [mmAround(180), 30], 4, 0),
    ]) {
      const finding = judged(mark, { coating: plainJournal.coating })
      expect(finding.nextTests.length).toBeGreaterThan(0)
      for (const { text } of [...finding.reasons, ...finding.nextTests]) expect(text.length).toBeGreaterThan(8)
    }
  })
})
