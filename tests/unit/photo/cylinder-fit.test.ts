import { describe, expect, it } from 'vitest'
import { cameraPlace } from '../../../lib/photo/camera'
import { type Fit, fitPhoto } from '../../../lib/photo/cylinder-fit'
import { failureText } from '../../../lib/photo/fit-failure-text'
import { handleName } from '../../../lib/photo/handle-name'
import { pixelToMap } from '../../../lib/photo/unproject'
import type { Pinhole } from '../../fixtures/render/pinhole'
import { pixelOf } from '../../fixtures/render/pinhole'
import { camera, facingDeg, journalAndPhoto, type Order, picksOf, radius } from './exact-picks'

type Extra = Record<string, unknown>

function fitOf(
  order: Order,
  { view = camera(), noisePx = 0, seed = 1, photo = {}, journal = {}, lens = null as Parameters<typeof fitPhoto>[2] } = {},
): Fit {
  const set = journalAndPhoto(picksOf(view, order, noisePx, seed), photo as Extra, journal as Extra)
  const outcome = fitPhoto(set.journal, set.photo, lens)
  if (!outcome.ok) throw new Error(`${outcome.reason.code}: ${failureText(outcome.reason)}`)
  return outcome.value
}

/** How far the fitted camera's journal lies from the truth at some places of the cylinder, px and mm of the map. */
function errors(fit: Fit, view: Pinhole = camera()): { angleDeg: number; aroundMm: number; alongMm: number } {
  const seenAt = (deg: number, axial: number) => {
    const theta = (deg * Math.PI) / 180
    const [u, v] = pixelOf(view, [radius * Math.cos(theta), radius * Math.sin(theta), axial]) as [number, number]
    const hit = pixelToMap(fit.surface, fit.camera, { u, v })
    if (!hit.ok) throw new Error('misses')
    return { around: radius * hit.value.theta, s: hit.value.s }
  }
  const wrap = (mm: number) => mm - 2 * Math.PI * radius * Math.round(mm / (2 * Math.PI * radius))
  let [angleDeg, aroundMm, alongMm] = [0, 0, 0]
  for (const deg of [facingDeg - 30, facingDeg, facingDeg + 30])
    for (const axial of [8, 20, 32]) {
      const [a, b] = [seenAt(deg, axial - 3), seenAt(deg, axial + 3)]
      // undirected: nothing but sides does not tell one end of the axis from the other
      angleDeg = Math.max(angleDeg, Math.abs((Math.atan(wrap(b.around - a.around) / (b.s - a.s)) * 180) / Math.PI))
      aroundMm = Math.max(aroundMm, Math.abs(wrap(a.around - (radius * deg * Math.PI) / 180)))
      // arc at an axial place past the front tangent line: 2.5 pi / 2 and straight on
      alongMm = Math.max(alongMm, Math.abs(a.s - ((2.5 * Math.PI) / 2 + axial - 3 - 2.5)))
    }
  return { angleDeg, aroundMm, alongMm }
}

const tangentLines: Order['rings'] = ['front-fillet', 'rear-fillet']
const whole: Order = { sides: [5, 5], rings: tangentLines, hole: true }

describe('exact picks of any sensible subset give the exact view', () => {
  const subsets: [string, Order][] = [
    ['both sides, both rings and the hole', whole],
    ['both sides, one ring and the hole', { sides: [5, 5], rings: ['front-fillet'], hole: true }],
    ['both sides, the hole and a clock point', { sides: [5, 5], hole: true, clock: [[40, 12]] }],
    ['one side, two rings and the hole', { sides: [5, 0], rings: tangentLines, hole: true }],
    ['the other side, two rings and the hole', { sides: [0, 5], rings: tangentLines, hole: true }],
    ['two rings and the hole', { rings: tangentLines, hole: true }],
    [
      'both sides, two rings, clock points alone for the roll',
      {
        sides: [5, 5],
        rings: tangentLines,
        clock: [
          [40, 12],
          [70, 30],
        ],
      },
    ],
    ['both sides, an inked line and the hole', { sides: [5, 5], rings: [22.5], hole: true }],
    ['both sides, the cheek rings and the hole', { sides: [5, 5], rings: ['front-cheek', 'rear-cheek'], hole: true }],
    ['two points on each side, two rings, the hole', { sides: [2, 2], rings: tangentLines, hole: true }],
  ]
  it.each(subsets)('%s', (_, order) => {
    const fit = fitOf(order)
    expect(fit.rmsPx).toBeLessThan(1e-3)
    expect(fit).toMatchObject({ rollKnown: true, slideKnown: true, residualsWithinRange: true })
    const off = errors(fit)
    expect(off.angleDeg).toBeLessThan(0.01)
    expect(off.aroundMm).toBeLessThan(0.005)
    expect(off.alongMm).toBeLessThan(0.005)
    cameraPlace(fit.camera).forEach((value, i) => {
      expect(value).toBeCloseTo(camera().centre[i], 1)
    })
  })

  it('without hole and clock the roll is not known, angles and fillet distances stand', () => {
    const fit = fitOf({ sides: [5, 5], rings: tangentLines })
    expect(fit).toMatchObject({ rollKnown: false, slideKnown: true, trusted: true })
    expect(errors(fit).angleDeg).toBeLessThan(0.01)
    expect(errors(fit).alongMm).toBeLessThan(0.005)
    expect(fit.sigmas.aroundMm).toBeNull()
    expect(fit.warnings.map((w) => w.code)).toContain('roll-unknown')
  })

  it.each([
    ['the hole', { sides: [5, 5], hole: true } as Order],
    ['one inked line', { sides: [5, 5], rings: [22.5] } as Order],
    ['one clock point', { sides: [5, 5], clock: [[50, 20]] } as Order],
  ])('with the sides and %s alone the journal may lie end for end: told, and not trusted', (_, order) => {
    const fit = fitOf(order)
    expect(fit).toMatchObject({ slideKnown: true, senseKnown: false, trusted: false })
    expect(fit.rmsPx).toBeLessThan(1e-3)
    expect(fit.warnings.map((w) => w.code)).toContain('sense-unknown')
  })

  it('with the sides alone the slide is not known either, angles stand', () => {
    const fit = fitOf({ sides: [5, 5] })
    expect(fit).toMatchObject({ rollKnown: false, slideKnown: false })
    expect(errors(fit).angleDeg).toBeLessThan(0.01)
    expect(fit.sigmas.filletMm).toBeNull()
    expect(fit.warnings.map((w) => w.code)).toEqual(expect.arrayContaining(['roll-unknown', 'slide-unknown']))
  })
})

describe('the lens', () => {
  it('k1 null: solved, near the truth when points reach the corners', () => {
    const view = camera({ k1: 0.05 })
    const fit = fitOf({ ...whole, rings: ['front-cheek', ...(tangentLines ?? []), 'rear-cheek'] }, { view, photo: { k1: null } })
    expect(fit.camera.k1).toBeGreaterThan(0.01)
    expect(errors(fit, view).angleDeg).toBeLessThan(0.3)
    const told = fitOf(whole, { view, photo: { k1: 0.05 } })
    expect(told.camera.k1).toBe(0.05)
    expect(told.rmsPx).toBeLessThan(1e-3)
    expect(errors(told, view).alongMm).toBeLessThan(0.005)
  })

  it('focal length from EXIF on the diagonal, longer by 1 + f / distance for close focus (thin lens)', () => {
    // nothing but sides: perspective alone hardly tells the focal length, so the prior speaks
    const atInfinity = (26 * Math.hypot(4000, 3000)) / 43.267
    const far = fitOf({ sides: [3, 3] }, { photo: { focalPx: null }, lens: { focal35Mm: 26, focalMm: null } })
    expect(far.camera.focalPx / atInfinity).toBeGreaterThan(0.93)
    expect(far.camera.focalPx / atInfinity).toBeLessThan(1.07)
    const near = fitOf({ sides: [3, 3] }, { photo: { focalPx: null }, lens: { focal35Mm: 26, focalMm: 60 } })
    // a 60 mm lens some 200 mm away: well over 20 per cent longer
    expect(near.camera.focalPx / far.camera.focalPx).toBeGreaterThan(1.1)
  })

  it('without EXIF it is solved under its prior: exact picks of a rich view leave the view nearly exact', () => {
    const fit = fitOf(whole, { photo: { focalPx: null } })
    expect(errors(fit).angleDeg).toBeLessThan(0.2)
    expect(errors(fit).alongMm).toBeLessThan(0.03)
  })
})

describe('too few or degenerate handles say what to add', () => {
  const failure = (order: Order) => {
    const { journal, photo } = journalAndPhoto(picksOf(camera(), order))
    const outcome = fitPhoto(journal, photo, null)
    return outcome.ok ? { code: 'fits', text: '' } : { code: outcome.reason.code, text: failureText(outcome.reason) }
  }

  it('none at all', () => {
    expect(failure({})).toMatchObject({ code: 'no-handles' })
    expect(failure({}).text).toContain('pick points')
  })

  it.each([
    ['one side', { sides: [5, 0] } as Order, 'other side'],
    ['one ring', { rings: ['front-fillet'] } as Order, 'each side'],
    ['the hole alone', { hole: true } as Order, 'each side'],
    ['one point on each side', { sides: [1, 1] } as Order, 'ring'],
    ['two points on one side and the hole', { sides: [2, 0], hole: true } as Order, 'other side'],
  ])('%s', (_, order, add) => {
    const { code, text } = failure(order)
    expect(['too-few', 'degenerate']).toContain(code)
    expect(text).toContain(add)
  })
})

describe('one gross error among the handles', () => {
  const damaged: [
    string,
    (handles: { sides: number[][][]; rings: { points: number[][] }[]; oilHoles: { center: number[] }[] }) => void,
    string,
  ][] = [
    ['a side point 40 px off', (h) => (h.sides[0][2][1] += 60), 'first side, point 3'],
    ['a ring point 60 px off', (h) => (h.rings[1].points[3][0] += 60), 'rear ring, point 4'],
    ['the hole 60 px off', (h) => (h.oilHoles[0].center[0] += 60), 'oil hole h1'],
  ]
  it.each(damaged)('%s is named and the photo not trusted', (_, damage, name) => {
    const handles = picksOf(camera(), whole, 0.7, 5) as unknown as Parameters<typeof damage>[0]
    damage(handles)
    const { journal, photo } = journalAndPhoto(handles as unknown as Extra)
    const outcome = fitPhoto(journal, photo, null)
    if (!outcome.ok) throw new Error(outcome.reason.code)
    const { value } = outcome
    expect(value).toMatchObject({ trusted: false, residualsWithinRange: false })
    expect(value.warnings.map((w) => w.code)).toContain('handles-disagree')
    const worst = [...value.residuals].sort((a, b) => b.studentised - a.studentised)[0]
    expect(handleName(worst.handle)).toBe(name)
    expect(value.warnings.some((w) => w.code === 'handle-off' && w.text.includes(name) && w.text.includes('left out'))).toBe(true)
    expect(value.residuals.filter((r) => r.leftOut)).toEqual([worst])
    // it bends nothing: the others put the view as well as they would without it
    expect(errors(value).angleDeg).toBeLessThan(0.3)
    expect(errors(value).alongMm).toBeLessThan(0.1)
  })

  it('honest picks are trusted, their residuals told one by one', () => {
    const fit = fitOf(whole, { noisePx: 0.7, seed: 9 })
    expect(fit.trusted).toBe(true)
    expect(fit.residuals).toHaveLength(5 + 5 + 7 + 7 + 1)
    expect(fit.warnings).toEqual([])
  })
})

describe('gross errors that no one can tell apart', () => {
  it('of two witness marks that contradict each other about the shaft both are named', () => {
    const marks: Order['clock'] = [
      [40, 20],
      [71.5, 20],
    ]
    const handles = picksOf(camera(), { sides: [5, 5], rings: tangentLines, clock: marks }, 0.7, 5) as { clock: { angleDeg: number }[] }
    // picked 1.5 degrees from where it is said to be, at the same place along the journal: only the roll contradicts
    handles.clock[1].angleDeg = 70
    const { journal, photo } = journalAndPhoto(handles as unknown as Extra)
    const outcome = fitPhoto(journal, photo, null)
    if (!outcome.ok) throw new Error(outcome.reason.code)
    expect(outcome.value.trusted).toBe(false)
    const told = outcome.value.warnings.find((w) => w.code === 'handle-off')?.text
    expect(told).toContain('witness mark at 40°')
    expect(told).toContain('witness mark at 70°')
    expect(told).toContain('either alone would explain it')
  })

  it('more than one pick in six is not argued away: nothing is left out and the contradiction stands', () => {
    const handles = picksOf(camera(), whole, 0.7, 5) as { sides: number[][][]; rings: { points: number[][] }[] }
    for (const [i, off] of [60, -45, 80].entries()) handles.sides[0][i][1] += off
    for (const [i, off] of [70, -50, 40].entries()) handles.rings[1].points[2 * i][0] += off
    const { journal, photo } = journalAndPhoto(handles as unknown as Extra)
    const outcome = fitPhoto(journal, photo, null)
    if (!outcome.ok) throw new Error(outcome.reason.code)
    // what bends under Huber's loss still counts as a reading: 5 + 5 + 7 + 7 + 2 of them less six unknowns
    expect(outcome.value).toMatchObject({ trusted: false, residualsWithinRange: false, degreesOfFreedom: 20 })
    expect(outcome.value.residuals.some((r) => r.leftOut)).toBe(false)
  })
})

describe('a warm start', () => {
  it('comes to the same fit, also when the handles have moved', () => {
    const cold = fitOf(whole, { noisePx: 0.7, seed: 3 })
    const { journal, photo } = journalAndPhoto(picksOf(camera(), whole, 0.7, 4))
    const fresh = fitPhoto(journal, photo, null)
    const warm = fitPhoto(journal, photo, null, cold)
    if (!fresh.ok || !warm.ok) throw new Error('no fit')
    expect(warm.value.chiSquare).toBeCloseTo(fresh.value.chiSquare, 5)
    warm.value.camera.translation.forEach((value, i) => {
      expect(value).toBeCloseTo(fresh.value.camera.translation[i], 4)
    })
  })
})
