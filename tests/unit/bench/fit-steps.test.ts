import { describe, expect, it } from 'vitest'
import { fitSteps, sideNames, standingOf, stepOfHandle } from '@/components/photo/fit-steps'
import { lineOf } from '@/components/photo/fit-explained'
import { fitFailureWords, fitWarningWords, lookAgainWords } from '@/components/photo/fit-words'
import { handlesSchema } from '@/lib/model/photo'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { pin } from '../editor/bench-fixture'

const places = { clock: { angleDeg: 0, axial: 20 }, inked: null, rear: 'rear-fillet', front: 'front-fillet' } as const
const none = handlesSchema.parse({})

describe('the steps of a fit', () => {
  it('both sides, rear and front ring, the oil hole, the witness mark', () => {
    expect(fitSteps(pin, none, places, 'mm').map((step) => step.name)).toEqual([
      'Left side',
      'Right side',
      'Rear ring',
      'Front ring',
      'Oil hole',
      'Inked ring',
      'Witness mark',
    ])
  })

  it('sides are left and right, or upper and lower where the journal lies across the photograph', () => {
    const upright = handlesSchema.parse({
      sides: [
        [
          [900, 100],
          [910, 500],
        ],
        [
          [300, 100],
          [310, 500],
        ],
      ],
    })
    expect(sideNames(upright)).toEqual(['Right', 'Left'])
    const across = handlesSchema.parse({
      sides: [
        [
          [100, 800],
          [500, 810],
        ],
        [
          [100, 300],
          [500, 310],
        ],
      ],
    })
    expect(sideNames(across)).toEqual(['Lower', 'Upper'])
  })

  it('rings on cheeks and inked rings that a file brought along have steps of their own, in the units of the screen', () => {
    const rings = handlesSchema.parse({
      rings: [
        { at: 12.5, points: [[1, 2]] },
        { at: 'rear-cheek', points: [[3, 4]] },
      ],
    })
    expect(fitSteps(pin, rings, places, 'mm').map((step) => step.name)).toEqual(expect.arrayContaining(['Ring at 12.50 mm', 'Rear cheek']))
    expect(fitSteps(pin, rings, places, 'in').map((step) => step.name)).toContain('Ring at 0.492 in')
  })

  it('a ring and a witness mark set no point before it is typed where they stand; an inked ring takes the points of its place', () => {
    const rings = handlesSchema.parse({ rings: [{ at: 12.5, points: [[1, 2]] }] })
    const untyped = fitSteps(pin, rings, { ...places, clock: { angleDeg: null, axial: 20 } }, 'mm')
    expect(untyped.filter((step) => step.sets === null).map((step) => step.name)).toEqual(['Inked ring', 'Witness mark'])
    const typed = fitSteps(pin, rings, { ...places, inked: 12.5 }, 'mm')
    expect(typed.map((step) => step.name)).not.toContain('Ring at 12.50 mm')
    expect(typed.find((step) => step.name === 'Inked ring')).toMatchObject({ sets: { part: 'ring', at: 12.5 }, count: 1 })
    expect(stepOfHandle(typed, rings, { part: 'ring', ring: 0, index: 0 })?.name).toBe('Inked ring')
  })

  const twoPoints = handlesSchema.parse({
    sides: [
      [
        [1, 2],
        [1, 9],
      ],
      [],
    ],
  })
  const residual = (studentised: number, residualMm: number) => ({
    handle: { kind: 'side' as const, list: 0 as const, index: 0 },
    residualPx: 3,
    studentised,
    leftOut: false,
    pick: { u: 1, v: 2 },
    nearest: { u: 1, v: 2 },
    residualMm,
  })

  it('a step stands empty, short of points, set while there is no fit, good, or to be looked at again', () => {
    const [left, right] = fitSteps(pin, twoPoints, places, 'mm')
    const three = fitSteps(
      pin,
      handlesSchema.parse({
        sides: [
          [
            [1, 2],
            [1, 9],
            [1, 5],
          ],
          [],
        ],
      }),
      places,
      'mm',
    )[0]
    if (!left || !right || !three) throw new Error('a step is missing')
    expect(standingOf(right, []).standing).toBe('empty')
    expect(standingOf(left, []).standing).toBe('more')
    expect(standingOf(three, null).standing).toBe('set')
    expect(standingOf(three, [residual(1, 0.1)]).standing).toBe('good')
    expect(standingOf(three, [residual(9, 1.1)])).toMatchObject({ standing: 'look-again', off: [{ residualMm: 1.1 }] })
  })

  it('look again says by how much, in the units of the screen', () => {
    const off = residual(9, 1.1)
    const words = lookAgainWords([off], [off, residual(1, 0.06)], 'mm')
    expect(words).toContain('1.10 mm from where the others put it')
    expect(words).toContain('The others agree to 0.06 mm')
    expect(lookAgainWords([off], [off], 'in')).toContain('0.043 in')
  })

  it('too few points: says how many there are and which to add', () => {
    expect(fitFailureWords({ code: 'too-few', have: 3, need: 4, sides: 1, rings: 0 })).toBe(
      '3 of the 4 readings that a fit needs are there. Add points on the other side, or on both rings.',
    )
  })

  it('a warning names the handle as its step does, and lengths in the units of the screen', () => {
    const steps = fitSteps(pin, twoPoints, places, 'in')
    const fit = { residuals: [residual(2, 0.1), { ...residual(9, 1.1), handle: { kind: 'side', list: 0, index: 1 } }] } as unknown as Fit
    const words = fitWarningWords({ code: 'handles-disagree', text: 'first side, point 2' }, fit, steps, twoPoints, 'in')
    expect(words).toContain('left side 2: 0.043 in from the fit')
    expect(words).not.toContain('first side')
  })

  it('what the uncertainty is made of, and the handle that would shrink it most; a hole that is set is not asked for again', () => {
    const steps = fitSteps(pin, handlesSchema.parse({ oilHoles: [{ id: 'h1', center: [5, 5] }] }), places, 'mm')
    const asked = lineOf(
      {
        quantity: 'fillet',
        unit: 'mm',
        sigma: 0.1,
        parts: [
          { from: 'picks', sigma: 0.098 },
          { from: 'focal', sigma: 0.02 },
        ],
        help: [
          { add: 'oil-hole', points: 1, sigma: 0.03 },
          { add: 'rear-ring', points: 5, sigma: 0.05 },
        ],
        photos: [{ leanDeg: 0, sigma: 0.048 }],
      },
      steps,
      'mm',
    )
    expect(asked?.words).toBe(
      'Distance to the fillet ± 0.20 mm: mostly your picks. Five more points on the rear ring would bring it to ± 0.10 mm.',
    )
    expect(asked?.step?.key).toBe('ring-rear-fillet')
    const plain = {
      quantity: 'angle' as const,
      unit: 'deg' as const,
      sigma: 0.2,
      parts: [{ from: 'focal' as const, sigma: 0.2 }],
      help: [],
    }
    const nothing = lineOf({ ...plain, photos: [{ leanDeg: 0, sigma: 0.19 }] }, steps, 'mm')
    expect(nothing).toMatchObject({ step: null, words: expect.stringContaining('± 0.39°: mostly the focal length') })
    expect(nothing?.words).toContain('More handles would hardly change that')
    const elsewhere = lineOf({ ...plain, photos: [{ leanDeg: -15, sigma: 0.1 }] }, steps, 'mm')
    expect(elsewhere?.words).toContain('A photograph leaning 15° towards the front, the journal filling the picture, would have ± 0.20°.')
  })
})
