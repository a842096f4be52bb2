import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { clockWord, nextPhotoReason, nextPhotoSentence, turnWords } from '../../../components/photo/next-photo-words'
import { surfaceOf } from '../../../lib/journal/surface'
import type { Journal } from '../../../lib/model/journal'
import { cameraPlace } from '../../../lib/photo/camera'
import { coverageOf } from '../../../lib/photo/coverage'
import { type NextPhoto, nextPhoto, type TakenPhoto, usualLens } from '../../../lib/photo/next-photo'
import { cameraAt, type Standpoint } from '../../../lib/photo/standpoint'
import { standpointViews } from '../../../lib/photo/standpoint-gain'
import { evenTurns, followAdvice } from '../../fixtures/simulated/advised-turns'

const end = { form: 'tangent' as const, radius: 2.5 }
const hole = (angleDeg: number) => ({ id: 'h1', angleDeg, axial: 20, mouthAround: 6, mouthAlong: 7, tiltDeg: 0 })
const pin: Journal = {
  id: 'P1',
  kind: 'pin',
  diameter: 60,
  width: 40,
  fillets: { front: end, rear: end },
  oilHoles: [hole(60)],
  coating: { kind: 'unknown', perSide: null },
  overheated: false,
}
const main: Journal = { ...pin, id: 'M1', kind: 'main' }
const surface = surfaceOf(pin)
const lens = usualLens([])
const views = standpointViews(surface, lens)

function photoFrom(
  facingDeg: number,
  leanDeg = 0,
  more: Partial<NonNullable<TakenPhoto['fit']>> = {},
  id = `at${facingDeg}/${leanDeg}`,
): TakenPhoto {
  const camera = cameraAt(surface, lens, { facingDeg, leanDeg, nearness: 'whole' })
  return { id, ignore: [], fit: { camera, trusted: true, rollKnown: true, slideKnown: true, ...more } }
}

type Take = Extract<NextPhoto, { kind: 'take' }>
function taking(next: NextPhoto): Take {
  if (next.kind !== 'take') throw new Error(`no picture is asked for: ${next.kind}`)
  return next
}
const seenBy = (photos: readonly TakenPhoto[]) =>
  coverageOf(
    surface,
    [],
    photos.flatMap(({ fit, ignore }) => (fit ? [{ camera: fit.camera, ignore }] : [])),
  ).coverage

const standpoints = fc.array(fc.record({ facing: fc.integer({ min: 0, max: 359 }), lean: fc.integer({ min: -30, max: 30 }) }), {
  maxLength: 8,
})

describe('what to photograph next', () => {
  it('followed picture by picture with an inexact hand, it shows cylinder and fillets in eight pictures, which even turns square on do not', () => {
    for (const [seed, webRise] of [
      [30_001, 0.5],
      [30_101, 6],
    ] as const) {
      const advised = followAdvice(seed, webRise, 8, webRise > 1).shares.at(-1)
      const even = evenTurns(seed, webRise, 8, () => 0).shares.at(-1)
      expect(advised?.cylinder).toBeGreaterThan(0.95)
      expect(advised?.fillets).toBeGreaterThan(0.94)
      expect(advised?.innerFillets).toBeGreaterThan(0.94)
      expect(even?.fillets).toBeLessThan(0.9)
    }
  })

  it('every picture it asks for adds a part of the surface, whatever was photographed before', () => {
    fc.assert(
      fc.property(standpoints, (places) => {
        const taken = places.map(({ facing, lean }) => photoFrom(facing, lean))
        const next = nextPhoto(pin, surface, taken, views)
        if (next.kind !== 'take') return
        const { facingDeg, leanDeg } = next.standpoint
        const [before, after] = [seenBy(taken), seenBy([...taken, photoFrom(facingDeg, leanDeg)])]
        const added = [
          after.cylinder - before.cylinder,
          (after.frontFillet ?? 0) - (before.frontFillet ?? 0),
          (after.rearFillet ?? 0) - (before.rearFillet ?? 0),
        ]
        expect(added.reduce((sum, share) => sum + share, 0)).toBeGreaterThan(0.01)
      }),
      { numRuns: 25 },
    )
  })

  it('turns with the zero: a main photographed from places turned by 5 degrees and more is advised the same, turned', () => {
    fc.assert(
      fc.property(standpoints, fc.integer({ min: 1, max: 71 }), (places, steps) => {
        const turn = 5 * steps
        const at = (by: number) =>
          nextPhoto(
            { ...main, oilHoles: [hole(60 + by)] },
            surface,
            places.map(({ facing, lean }) => photoFrom(facing + by, lean)),
            views,
          )
        const [one, other] = [at(0), at(turn)]
        expect(other.kind).toBe(one.kind)
        if (one.kind !== 'take' || other.kind !== 'take') return
        expect(other.gains[0].share).toBeCloseTo(one.gains[0].share, 9)
        // before the first photograph any angle from which the hole is in view will do
        if (places.length > 0) expect((other.standpoint.facingDeg - one.standpoint.facingDeg - turn + 720) % 360).toBe(0)
      }),
      { numRuns: 15 },
    )
  })

  it('begins on the inner half of a pin, within reach of the oil hole', () => {
    const next = taking(nextPhoto(pin, surface, [], views))
    expect(next.angleFrom).toEqual({ by: 'hole', id: 'h1' })
    expect(next.mostlyInner).toBe(true)
    expect(next.turnDeg).toBeNull()
    expect(next.standpoint.facingDeg).toBe(105)
  })

  it('the front fillet not seen: one leans to the rear and looks into it', () => {
    const taken = [0, 60, 120, 180, 240, 300].flatMap((deg) => [photoFrom(deg), photoFrom(deg, -24)])
    const next = taking(nextPhoto(main, surface, taken, views))
    expect(next.standpoint.leanDeg).toBeGreaterThan(0)
    expect(next.gains[0].part).toBe('front-fillet')
    expect(nextPhotoSentence(next, main, () => 1)).toContain('to the rear to look into the front fillet')
    const [x, y, z] = cameraPlace(cameraAt(surface, lens, next.standpoint))
    expect(z).toBeGreaterThan(surface.width / 2)
    expect(Math.hypot(x, y)).toBeGreaterThan(surface.radius)
  })

  it('says when nothing more is gained, and never that the journal is good', () => {
    const taken: TakenPhoto[] = []
    let next = nextPhoto(pin, surface, taken, views)
    while (next.kind === 'take') {
      expect(taken.length).toBeLessThan(10)
      taken.push(photoFrom(next.standpoint.facingDeg, next.standpoint.leanDeg))
      next = nextPhoto(pin, surface, taken, views)
    }
    const words = nextPhotoSentence(next, pin, () => 1)
    expect(words).toContain('does not mean sound')
    expect(words.replace('does not mean sound', '')).not.toMatch(/\b(ok|good|safe|sound|clear|pass|fine|done|complete)\b/i)
    expect(seenBy(taken).cylinder).toBeGreaterThan(0.98)
  })

  it('a standpoint that was taken is not asked for again, though what it shows lies behind a rag', () => {
    const everything: [number, number][] = [
      [0, 0],
      [lens.width, 0],
      [lens.width, lens.height],
      [0, lens.height],
    ]
    const first = taking(nextPhoto(pin, surface, [], views))
    const covered = { ...photoFrom(first.standpoint.facingDeg, first.standpoint.leanDeg), ignore: [everything] }
    const next = taking(nextPhoto(pin, surface, [covered], views))
    expect([next.standpoint.facingDeg, next.standpoint.leanDeg]).not.toEqual([first.standpoint.facingDeg, first.standpoint.leanDeg])
    expect(seenBy([covered]).cylinder).toBe(0)
  })

  it('a rough fit counts as seen here', () => {
    const rough = photoFrom(105, 12, { trusted: false })
    const next = taking(nextPhoto(pin, surface, [rough], views))
    expect(next.standpoint).toEqual(taking(nextPhoto(pin, surface, [photoFrom(105, 12)], views)).standpoint)
    expect(next.standpoint.facingDeg).not.toBe(105)
  })

  it('asks for the angle first where no photograph tells it, and for an overlap or a witness mark where only some do', () => {
    const lost = photoFrom(200, 0, { rollKnown: false }, 'ph1')
    expect(nextPhoto(pin, surface, [lost], views)).toEqual({ kind: 'angle-first', photoIds: ['ph1'], hasHole: true })
    expect(nextPhotoSentence({ kind: 'angle-first', photoIds: ['ph1'], hasHole: true }, pin, () => 1)).toContain('oil hole in view')
    const bare: Journal = { ...main, oilHoles: [] }
    expect(nextPhotoSentence(nextPhoto(bare, surface, [lost], views), bare, () => 1)).toContain('witness mark in photograph 1')
    const next = taking(nextPhoto(bare, surface, [photoFrom(0)], views))
    expect(next.angleFrom).toEqual({ by: 'neighbour', photoId: 'at0/0' })
    expect(nextPhotoReason(next, bare, () => 1)).toContain('It overlaps photograph 1')
    expect(taking(nextPhoto(bare, surface, [], views)).angleFrom).toEqual({ by: 'nothing' })
  })

  it('a picture of few pixels asks to go closer', () => {
    const small = { width: 1000, height: 750, focalPx: 800 }
    const coarse = { ...main, diameter: 220, width: 60 }
    const large = surfaceOf(coarse)
    const whole: Standpoint = { facingDeg: 60, leanDeg: 0, nearness: 'whole' }
    expect(coverageOf(large, [], [{ camera: cameraAt(large, small, whole), ignore: [] }]).coverage.cylinder).toBeLessThan(0.1)
    const next = nextPhoto(coarse, large, [], standpointViews(large, small))
    expect(taking(next).standpoint.nearness).toBe('close')
    expect(nextPhotoSentence(next, coarse, () => 1)).toContain('so near that its width fills the picture')
    const tiny = nextPhoto(main, surface, [], standpointViews(surface, { width: 480, height: 360, focalPx: 390 }))
    expect(tiny).toEqual({ kind: 'nothing-more', tooCoarse: true })
    expect(nextPhotoSentence(tiny, main, () => 1)).toContain('more pixels')
  })
})

describe('its words', () => {
  it('the clock as seen from the front, the witness line at 12', () => {
    expect([0, 14, 90, 180, 275, 350].map(clockWord)).toEqual([
      '12 o’clock',
      '12 o’clock',
      '3 o’clock',
      '6 o’clock',
      '9 o’clock',
      '12 o’clock',
    ])
  })

  it('the crank is turned so that the next place comes before the camera that stays', () => {
    const next = taking(nextPhoto(pin, surface, [photoFrom(105, 12)], views))
    const turnDeg = next.turnDeg ?? Number.NaN
    // clockwise seen from the front is the way the angle grows: turned by t, the place at angle a comes to where a + t was
    expect((next.standpoint.facingDeg + turnDeg + 720) % 360).toBeCloseTo(105, 6)
    expect([90, -90, 180, -45, 135, 62, 3].map(turnWords)).toEqual([
      'Turn the crank a quarter turn clockwise',
      'Turn the crank a quarter turn anticlockwise',
      'Turn the crank half a turn',
      'Turn the crank an eighth of a turn anticlockwise',
      'Turn the crank three eighths of a turn clockwise',
      'Turn the crank about 60° clockwise',
      'Leave the crank as it is',
    ])
  })
})
