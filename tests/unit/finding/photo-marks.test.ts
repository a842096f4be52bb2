import { describe, expect, it } from 'vitest'
import { assess, offJournalFaults, fitPhotos } from '../../../lib/finding/assess'
import { readInspection } from '../../../lib/journal/read-inspection'
import type { Findings } from '../../../lib/model/findings'
import { noiseFrom } from '../../fixtures/render/noise'
import { pixelOf } from '../../fixtures/render/pinhole'
import { camera, facingDeg, hole, type Order, picksOf, radius, width } from '../photo/exact-picks'

type Place = readonly [aroundMm: number, axial: number]
type Extra = Record<string, unknown>

/** The pixels of places on the cylinder; around is counted from the generator that faces the camera. */
const pixels = (places: readonly Place[], noisePx = 0, seed = 1) => {
  const noise = noiseFrom(seed)
  return places.map(([around, axial]) => {
    const theta = (facingDeg * Math.PI) / 180 + around / radius
    const [u, v] = pixelOf(camera(), [radius * Math.cos(theta), radius * Math.sin(theta), axial]) as [number, number]
    return [u + noisePx * noise.normal(), v + noisePx * noise.normal()]
  })
}
const lineIn = (places: readonly Place[], extra: Extra = {}) => ({
  id: 'k',
  journalId: 'P1',
  photoId: 'ph1',
  pixels: pixels(places),
  ...extra,
})

const oneEnd = { form: 'tangent', radius: 2.5 }
function inspection(order: Order, marks: Extra[], damage: (handles: Extra) => void = () => {}, journal: Extra = {}) {
  const handles = picksOf(camera(), order)
  damage(handles)
  const read = readInspection({
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: { id: 'S1' },
    journals: [
      { id: 'P1', kind: 'pin', diameter: 2 * radius, width, fillets: { front: oneEnd, rear: oneEnd }, oilHoles: [hole], ...journal },
    ],
    photos: [{ id: 'ph1', journalId: 'P1', width: 4000, height: 3000, focalPx: 3300, pickSigmaPx: 0.7, handles }],
    marks,
  })
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  return read.value
}
const found = (...args: Parameters<typeof inspection>): Findings => assess(inspection(...args), {})

const whole: Order = { sides: [5, 5], rings: ['front-fillet', 'rear-fillet'], hole: true }
const noRoll: Order = { ...whole, hole: false }
const sidesAlone: Order = { sides: [5, 5] }
const diagonal: Place[] = [
  [-14, 22],
  [-8, 28],
]
const around: Place[] = [
  [-14, 28],
  [-6, 28],
]
const along: Place[] = [
  [-14, 14],
  [-14, 26],
]
const inBand: Place[] = [
  [-12, 4],
  [-6, 4],
]

describe('a mark drawn on a photo', () => {
  it('is measured as it lies on the metal', () => {
    const { marks } = found(whole, [lineIn(diagonal)])
    expect(marks[0].signedAngleDeg).toBeCloseTo(45, 3)
    expect(marks[0].lengthMm).toBeCloseTo(Math.hypot(6, 6), 3)
    expect(marks[0].filletRearMm).toBeCloseTo(width - 2.5 - 28, 3)
    expect(marks[0].points[0].axial).toBeCloseTo(22, 3)
    expect(marks[0].points[0].angleDeg).toBeCloseTo(facingDeg - (14 / radius) * (180 / Math.PI), 3)
  })

  it('whose pixels miss the journal is refused by name where the photo is trusted', () => {
    const bad = inspection(whole, [lineIn(diagonal, { id: 'k9', pixels: [pixels(diagonal)[0], [3, 3]] })])
    const faults = offJournalFaults(bad, fitPhotos(bad, {}))
    expect(faults.map((f) => f.path)).toEqual(['$.marks[0].pixels[1]'])
    expect(faults[0].fault).toContain('"k9"')
  })
})

describe('a photo whose roll is not known', () => {
  it.each([
    ['diagonal', diagonal, 'diagonal-crack'],
    ['in the radius band', inBand, 'radius-crack'],
    ['around', around, 'unresolved'],
    ['along', along, 'unresolved'],
  ])('a mark %s: %s', (_, places, pattern) => {
    const { marks, photos } = found(noRoll, [lineIn(places)])
    expect(photos[0]).toMatchObject({ rollKnown: false, slideKnown: true, trusted: true })
    expect(marks[0]).toMatchObject({ pattern, oilHoles: null })
    expect(marks[0].sigma.oilHoleMm).toBeNull()
    expect(marks[0].filletNearestMm).not.toBeNull()
    if (pattern === 'unresolved') expect(marks[0].nextTests[0].code).toBe('pick-roll')
  })

  it('counts for no coverage', () => {
    expect(found(noRoll, []).journals[0].coverage.cylinder).toBe(0)
    expect(found(whole, []).journals[0].coverage.cylinder).toBeGreaterThan(0.2)
  })
})

describe('a photo whose slide is not known', () => {
  it('a diagonal mark stands, all else is unresolved, no fillet distance is told', () => {
    const at = (places: readonly Place[], extra: Extra = {}) => found(sidesAlone, [lineIn(places, extra)]).marks[0]
    expect(at(diagonal)).toMatchObject({
      pattern: 'diagonal-crack',
      filletFrontMm: null,
      filletRearMm: null,
      filletNearestMm: null,
      intoFilletMm: null,
      oilHoles: null,
    })
    expect(at(diagonal).points[0]).toMatchObject({ axial: null, s: null })
    expect(at(diagonal).signedAngleDeg).toBeCloseTo(45, 2)
    expect(at(inBand)).toMatchObject({ pattern: 'unresolved', concern: 'hold' })
    expect(at(around).pattern).toBe('unresolved')
    expect(at(around, { seen: ['fillet'] }).pattern).toBe('radius-crack')
    expect(at(around, { seen: ['hole'] }).pattern).toBe('oil-hole-crack')
  })
})

describe('a photo whose handles contradict each other', () => {
  const gross = (handles: Extra) => {
    ;(handles.rings as { points: number[][] }[])[0].points[2][1] += 80
  }
  const at = (places: readonly Place[], extra: Extra = {}) => found(whole, [lineIn(places, extra)], gross)

  it('every mark is unresolved, unless a person saw it enter fillet, cheek or hole', () => {
    for (const places of [diagonal, inBand, around, along])
      expect(at(places).marks[0]).toMatchObject({ pattern: 'unresolved', concern: 'hold' })
    expect(at(diagonal).photos[0].trusted).toBe(false)
    expect(at(around, { seen: ['cheek'] }).marks[0].pattern).toBe('radius-crack')
    expect(at(around, { seen: ['hole'] }).marks[0].pattern).toBe('oil-hole-crack')
    expect(at(diagonal).marks[0].reasons.map((r) => r.code)).toContain('fit-not-trusted')
    expect(at(diagonal).marks[0].nextTests[0].code).toBe('mend-fit')
  })
})

describe('a photo that is merely uncertain', () => {
  // picks as rough as 25 px leave fillet and angle beyond the limits of trust, yet nothing contradicts
  const rough = (places: readonly Place[]) => {
    const doc = inspection(whole, [lineIn(places)])
    return assess({ ...doc, photos: doc.photos.map((p) => ({ ...p, pickSigmaPx: 40 })) }, {})
  }

  it('is not trusted; the first three rows still stand at their pessimistic bounds, all else is unresolved', () => {
    expect(rough(inBand).photos[0].trusted).toBe(false)
    expect(rough(inBand).marks[0].pattern).toBe('radius-crack')
    expect(['radius-crack', 'oil-hole-crack', 'diagonal-crack']).toContain(rough(diagonal).marks[0].pattern)
    expect(['unresolved', 'radius-crack', 'oil-hole-crack']).toContain(rough(along).marks[0].pattern)
  })
})

describe('what the shaft is told', () => {
  const words = /\b(ok|okay|pass(es|ed)?|safe|sound|good|clear(s|ed)?|fine)\b/i

  it('a journal without marks is nothing recorded, shown with its coverage', () => {
    const { journals, shaft } = found(whole, [])
    expect(journals[0]).toMatchObject({ concern: 'nothing-recorded' })
    expect(journals[0].coverage.holeRims).toBe(1)
    expect(found(whole, [], undefined, { oilHoles: [{ ...hole, angleDeg: hole.angleDeg }] }).journals[0].coverage.holeRims).not.toBeNull()
    expect(shaft.concern).toBe('nothing-recorded')
    expect(shaft.statement).toMatch(/nothing recorded/i)
  })

  it('never that it is sound, whatever was found', () => {
    const stain = {
      id: 'k',
      journalId: 'P1',
      shape: 'area',
      named: 'stain',
      sigmaMm: 0,
      points: [
        [0, 20],
        [4, 20],
        [4, 23],
      ].map(([deg, axial]) => ({ angleDeg: 200 + deg * 2, axial })),
    }
    for (const marks of [[], [stain], [lineIn(around)], [lineIn(diagonal)]]) {
      const { shaft } = found(whole, marks)
      expect(shaft.statement).not.toMatch(words)
    }
    expect(found(whole, [stain]).shaft.concern).toBe('record')
    expect(found(whole, [lineIn(diagonal)]).shaft.statement).toMatch(/do not run it, and do not scrap it on this alone/)
  })

  it('the worst mark decides', () => {
    expect(found(whole, [lineIn(around), lineIn(diagonal, { id: 'k2' })]).journals[0].concern).toBe('treat-as-cracked')
  })
})
