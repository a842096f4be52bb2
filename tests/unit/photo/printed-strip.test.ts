/** Photographs fitted by the printed strip alone: the codes' corners come from the renderer's own layout and wrapping. */
import { describe, expect, it } from 'vitest'
import { assess } from '../../../lib/finding/assess'
import { stripDesign } from '../../../lib/photo/printed-strip-design'
import { layoutFor } from '../../fixtures/render/strip-band'
import { stripCase } from './strip-cases'

describe('the layout', () => {
  it.each([
    [35, 20, 0],
    [44, 20, 0],
    [44.01, 30, 20],
    [62, 30, 20],
    [90, 40, 50],
    [90.5, 60, 90],
    [135, 60, 90],
  ])('%d mm takes %d codes from number %d on', (diameter, markers, firstId) => {
    expect(stripDesign(diameter)).toMatchObject({ markers, firstId })
  })

  it('is the one that the renderer has from its description', () => {
    for (let diameter = 20; diameter < 135; diameter += 3.7) {
      const design = stripDesign(diameter)
      const layout = layoutFor(diameter)
      for (const [name, value] of Object.entries(layout))
        expect(design?.[name as keyof typeof design], `${name} at ${diameter}`).toBeCloseTo(value, 9)
    }
  })

  it('is of whole printer dots, 6.7 to 7.7 mm high for journals from 30 mm on, and none is made beyond 15 to 135 mm', () => {
    expect(stripDesign(57.15)?.module).toBeCloseTo((14 * 25.4) / 600, 12)
    expect(stripDesign(35)?.height).toBeCloseTo(7.2235, 4)
    expect(stripDesign(14)).toBeNull()
    expect(stripDesign(136)).toBeNull()
  })
})

describe('a strip with one oil hole and rings picked in one photograph', () => {
  it.each([3, 4, 5])('fits every photograph, close-ups too, and measures the marks (journal %d)', (seed) => {
    const { inspection, truth } = stripCase(seed)
    const findings = assess(inspection, {})
    for (const photo of findings.photos)
      expect(photo, photo.id).toMatchObject({ trusted: true, rollKnown: true, slideKnown: true, warnings: [] })
    expect(findings.marks.length).toBeGreaterThan(15)
    for (const mark of findings.marks) {
      const true_ = truth.marks[mark.id]
      expect(Math.abs((mark.filletNearestMm ?? 99) - true_.filletNearest), `${mark.id} to the fillet`).toBeLessThan(0.45)
      expect(Math.abs((mark.oilHoles?.[0].distanceMm ?? 99) - true_.holes[0].distance), `${mark.id} to the hole`).toBeLessThan(0.45)
    }
    const { strip } = findings.journals[0]
    expect(strip?.scale).toBeCloseTo(truth.place.scale, 2)
    expect(Math.abs((strip?.frontEdgeMm ?? 99) - truth.place.frontEdge)).toBeLessThan(0.15)
  })

  it('takes its places from numbers that were typed where nothing was picked', () => {
    const { inspection, truth } = stripCase(3, {}, 0.1, ({ journals, photos }) => {
      Object.assign(journals[0].strip as object, { frontEdge: 0, zeroAngleDeg: 0 })
      for (const { handles } of photos) Object.assign(handles, { rings: [], oilHoles: [] })
    })
    Object.assign(inspection.journals[0].strip as object, { frontEdge: truth.place.frontEdge, zeroAngleDeg: truth.place.zeroAngleDeg })
    const findings = assess(inspection, {})
    for (const photo of findings.photos) expect(photo).toMatchObject({ trusted: true, rollKnown: true, slideKnown: true })
    for (const mark of findings.marks)
      expect(Math.abs((mark.filletNearestMm ?? 99) - truth.marks[mark.id].filletNearest), mark.id).toBeLessThan(0.45)
    expect(findings.marks.every(({ sigma }) => (sigma.filletMm ?? 0) > 0.2)).toBe(true)
  })

  it('says so where nothing tells where the strip lies, and still measures directions', () => {
    const { inspection, truth } = stripCase(3, {}, 0.1, ({ photos }) => {
      for (const { handles } of photos) Object.assign(handles, { rings: [], oilHoles: [] })
    })
    const findings = assess(inspection, {})
    for (const photo of findings.photos) {
      expect(photo).toMatchObject({ trusted: true, rollKnown: false, slideKnown: false })
      expect(photo.warnings.map(({ code }) => code)).toContain('strip-no-reference')
    }
    expect(findings.journals[0].strip).toMatchObject({ frontEdgeMm: null, zeroAngleDeg: null })
    const off = findings.marks.map((mark) => {
      const turn = Math.abs((mark.signedAngleDeg ?? 99) - truth.marks[mark.id].signedAngle)
      return Math.min(turn, 180 - turn)
    })
    expect(off.sort((a, b) => a - b)[off.length >> 1]).toBeLessThan(0.6)
  })
})

describe('a strip that lies the other way round', () => {
  it('is fitted where the file says so', () => {
    const { inspection, truth } = stripCase(5, { reversed: true })
    const findings = assess(inspection, {})
    for (const photo of findings.photos) expect(photo, photo.id).toMatchObject({ trusted: true })
    expect(Math.abs((findings.journals[0].strip?.frontEdgeMm ?? 99) - truth.place.frontEdge)).toBeLessThan(0.15)
  })

  it('is not trusted where the file says otherwise and hand picks contradict it', () => {
    const { inspection } = stripCase(5, { reversed: true }, 0.1, ({ journals }) => {
      Object.assign(journals[0].strip as object, { toFront: 'front' })
    })
    const findings = assess(inspection, {})
    for (const photo of findings.photos) {
      expect(photo.trusted, photo.id).toBe(false)
      expect(photo.warnings.map(({ code, text }) => `${code}: ${text}`).join()).toMatch(/strip-disagrees: .*the other way round/)
    }
  })
})

describe('a strip that is wrong', () => {
  it.each([6, 7, 8])('of journal %d printed too small by 3 in 100 is named on every photograph and not trusted', (seed) => {
    const { inspection } = stripCase(seed, { scale: 0.97 })
    const findings = assess(inspection, {})
    for (const photo of findings.photos) {
      expect(photo.trusted, photo.id).toBe(false)
      expect(photo.warnings.map(({ code }) => code)).toContain('strip-scale')
    }
    expect(findings.journals[0].strip?.scale).toBeCloseTo(0.97, 2)
  })

  it('printed for another diameter of its class is noticed', () => {
    const { inspection } = stripCase(4, { diameter: 55, printedForRatio: 1.06 }, 0.1, ({ journals }) => {
      Object.assign(journals[0].strip as object, { diameter: 55 })
    })
    const codes = assess(inspection, {}).photos.map(({ warnings, trusted }) => ({ trusted, codes: warnings.map(({ code }) => code) }))
    for (const one of codes) {
      expect(one.trusted).toBe(false)
      expect(one.codes.some((code) => code === 'strip-scale' || code === 'strip-disagrees')).toBe(true)
    }
  })

  it('printed for another class of diameters is named', () => {
    const { inspection } = stripCase(4, { diameter: 55 }, 0.1, ({ journals }) => {
      Object.assign(journals[0].strip as object, { diameter: 70 })
    })
    for (const { warnings } of assess(inspection, {}).photos) expect(warnings.map(({ code }) => code)).toContain('strip-disagrees')
  })

  it('that was typed as closing, and leaves a gap, is noticed', () => {
    const { inspection } = stripCase(6, { scale: 0.99 }, 0.1, ({ journals }) => {
      Object.assign(journals[0].strip as object, { gapMm: 0 })
    })
    const codes = assess(inspection, {}).photos.flatMap(({ warnings }) => warnings.map(({ code }) => code))
    expect(codes).toContain('strip-scale')
  })

  it.each([
    ['a gap of 2 mm', { scale: 1 - 2 / (57.25 * Math.PI) }, 'strip-scale', /leaves a gap of (1\.9|2\.\d) mm/],
    ['an overlap of 2 mm', { scale: 1 + 2 / (57.25 * Math.PI) }, 'strip-scale', /leaves an overlap of (1\.9|2\.\d) mm/],
    ['its end 2 mm behind its beginning', { skew: 2 }, 'strip-oblique', /2\.0 mm behind/],
  ])('that lies with %s is named so, and reckoned with', (_, lie, code, words) => {
    const { inspection, truth } = stripCase(6, { diameter: 57.15, ...lie })
    const { photos, marks } = assess(inspection, {})
    for (const { id, trusted, warnings } of photos) {
      expect(trusted, id).toBe(true)
      expect(warnings.find((one) => one.code === code)?.text, id).toMatch(words)
    }
    for (const { id, filletNearestMm } of marks)
      expect(Math.abs((filletNearestMm ?? 99) - truth.marks[id].filletNearest), `${id} to the fillet`).toBeLessThan(0.45)
  })

  it('of which no code is seen leaves a photograph to its hand picks, or says what is missing', () => {
    const { inspection } = stripCase(3, {}, 0.1, ({ photos }) => {
      photos[0].handles.strip = { markers: [] }
      photos[1].handles.strip = 'find'
    })
    const [none, unread] = assess(inspection, {}).photos
    expect(none).toMatchObject({ trusted: false, warnings: [{ code: 'strip-not-found' }] })
    expect(unread.warnings.map(({ code }) => code)).toContain('strip-not-found')
  })
})
