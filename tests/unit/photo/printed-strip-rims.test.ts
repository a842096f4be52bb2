/** Oil holes' rims in photographs that show the printed strip: measured on rendered holes, used within a person's picks and never against them. */
import { describe, expect, it } from 'vitest'
import { assess, type FitOutcome } from '../../../lib/finding/assess'
import type { InspectionMm } from '../../../lib/model/inspection'
import type { StripRim } from '../../../lib/photo/printed-strip-mouths'
import { stripEntries } from '../../../lib/photo/printed-strip-fit'
import { fitStripPhotos } from '../../../lib/photo/printed-strip-result'
import { measuredRim } from '../../../lib/photo/printed-strip-rim'
import { asRotation } from '../../fixtures/render/cases'
import { noiseFrom } from '../../fixtures/render/noise'
import { pixelOf } from '../../fixtures/render/pinhole'
import { renderStrip, type StripPictureOptions } from '../../fixtures/render/strip-picture'
import { stripJournal, type StripViewTruth } from '../../fixtures/render/strip-set'
import { stripCase, type StripCase } from './strip-cases'

type Set = ReturnType<typeof stripJournal>

function middleOf({ metal }: Set, { camera }: StripViewTruth): [number, number] {
  const [{ angleDeg, axial }] = metal.holes
  const theta = (angleDeg * Math.PI) / 180
  const seen = pixelOf(camera, [metal.radius * Math.cos(theta), metal.radius * Math.sin(theta), axial])
  if (!seen) throw new Error('the hole lies behind the camera')
  return seen
}

describe('the rim of an oil hole', () => {
  const set = stripJournal(5, { width: 2400, height: 1800 })
  const view = set.views[2]
  const [hole] = set.metal.holes
  const shape = { a: hole.mouthAround / 2, b: hole.mouthAlong / 2, tilt: 0 }
  const theta = (hole.angleDeg * Math.PI) / 180

  function measured(chamfer?: StripPictureOptions['chamfer'], typed = shape) {
    const { rotation, translation } = asRotation(view.camera)
    const { width, height, focalPx, k1 } = view.camera
    const [u, v] = middleOf(set, view).map(Math.round)
    const window = { left: u - 120, top: v - 120, width: 240, height: 240 }
    const picture = renderStrip(set.metal, set.band, view.camera, set.lines, { ...view, seed: 5, chamfer, window })
    const near = { theta: theta + (0.15 * shape.a) / set.metal.radius, z: hole.axial - 0.15 * shape.b }
    return measuredRim(picture, { width, height, focalPx, k1, rotation: rotation as never, translation }, set.metal.radius, typed, near)
  }

  it.each([
    ['plain', undefined],
    ['with a bright bevel', { share: 0.15, grey: 225, slope: 0 }],
    ['with a dark bevel', { share: 0.2, grey: 75, slope: 0 }],
  ])('%s is measured to a small part of a pixel', (_, chamfer) => {
    const rim = measured(chamfer)
    const [u, v] = middleOf(set, view)
    expect(rim).not.toBeNull()
    expect(Math.hypot((rim?.u ?? 0) - u, (rim?.v ?? 0) - v)).toBeLessThan(0.3)
    expect(rim?.size).toBeCloseTo(1, 1)
  })

  it('of another size than typed is none', () => {
    expect(measured(undefined, { ...shape, a: 1.2 * shape.a, b: 1.2 * shape.b })).toBeNull()
  })
})

describe('rims in the photographs of a journal', () => {
  /** Rims as they are found: 0.1 px off; `moved` puts them elsewhere. */
  function withRims(
    { inspection, set }: StripCase,
    moved: readonly [number, number] = [0, 0],
  ): InspectionMm & { fits: Map<string, FitOutcome> } {
    const noise = noiseFrom(3)
    const [journal] = inspection.journals
    const entries = stripEntries(inspection.photos, new Map(), () => null).map((entry, i) => {
      const [u, v] = middleOf(set, set.views[i])
      const rim: StripRim = { holeId: 'h1', u: u + moved[0] + 0.1 * noise.normal(), v: v + moved[1] + 0.1 * noise.normal(), sigmaPx: 0.15 }
      return { ...entry, rims: [rim] }
    })
    return { ...inspection, fits: fitStripPhotos(journal, entries) }
  }
  const codesOf = (fit: FitOutcome | undefined) => (fit?.ok ? fit.value.warnings.map(({ code }) => code) : ['none'])
  const worstHole = (inspection: InspectionMm, truth: StripCase['truth'], fits?: Map<string, FitOutcome>) =>
    Math.max(
      ...assess(inspection, {}, fits).marks.map(({ id, oilHoles }) =>
        Math.abs((oilHoles?.[0].distanceMm ?? 99) - truth.marks[id].holes[0].distance),
      ),
    )

  it('bring the distances to the hole nearer to the truth than the pick in one photograph does', () => {
    const off = [3, 7].map((seed) => {
      const one = stripCase(seed)
      const { fits } = withRims(one)
      for (const fit of fits.values()) expect(fit.ok && fit.value.strip?.rims.every(({ used }) => used)).toBe(true)
      return [worstHole(one.inspection, one.truth), worstHole(one.inspection, one.truth, fits)]
    })
    const sum = (k: number) => off.reduce((total, pair) => total + pair[k], 0)
    expect(sum(1)).toBeLessThan(0.9 * sum(0))
  })

  it('are left out and named where they lie elsewhere than the pick', () => {
    const one = stripCase(4)
    const plain = fitStripPhotos(
      one.inspection.journals[0],
      stripEntries(one.inspection.photos, new Map(), () => null),
    )
    const { fits } = withRims(one, [9, 6])
    const [first] = [...fits.keys()]
    expect([...fits.values()].flatMap((fit) => (fit.ok ? (fit.value.strip?.rims.filter(({ used }) => used) ?? []) : []))).toEqual([])
    expect([...fits.values()].flatMap(codesOf)).toContain('hole-rim-elsewhere')
    const [a, b] = [plain.get(first), fits.get(first)]
    expect(a?.ok && b?.ok && b.value.camera).toEqual(a?.ok && a.value.camera)
  })

  it('do not count for a hole that nobody picked', () => {
    const one = stripCase(4, {}, 0.1, ({ photos }) => {
      for (const { handles } of photos) Object.assign(handles, { oilHoles: [] })
    })
    const { fits } = withRims(one)
    for (const fit of fits.values())
      expect(fit).toMatchObject({ ok: true, value: { rollKnown: false, strip: { rims: [{ used: false }] } } })
  })

  it('of a hole typed 0.25 mm off along the axis leave the strip to the rings, and say so', () => {
    const one = stripCase(4, { diameter: 125 }, 0.1, ({ journals }) => {
      const [hole] = journals[0].oilHoles as { axial: number }[]
      hole.axial += 0.25
    })
    const { fits } = withRims(one)
    const codes = [...fits.values()].flatMap(codesOf)
    expect(codes).toContain('hole-typed-elsewhere')
    for (const fit of fits.values())
      expect(Math.abs((fit.ok && fit.value.strip?.frontEdgeMm) || 99) - one.truth.place.frontEdge).toBeLessThan(0.08)
  })
})
