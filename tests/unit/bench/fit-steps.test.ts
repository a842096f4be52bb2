import { describe, expect, it } from 'vitest'
import { fitSteps, sideNames, standingOf } from '@/components/photo/fit-steps'
import { fitFailureWords, lookAgainWords } from '@/components/photo/fit-words'
import { handlesSchema } from '@/lib/model/photo'
import { pin } from '../editor/bench-fixture'

const clock = { clock: { angleDeg: 0, axial: 20 }, rear: 'rear-fillet', front: 'front-fillet' } as const
const none = handlesSchema.parse({})

describe('the steps of a fit', () => {
  it('both sides, rear and front ring, the oil hole, the witness mark', () => {
    expect(fitSteps(pin, none, clock).map((step) => step.name)).toEqual([
      'Left side',
      'Right side',
      'Rear ring',
      'Front ring',
      'Oil hole',
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

  it('rings on cheeks and inked lines that a file brought along have steps of their own', () => {
    const rings = handlesSchema.parse({
      rings: [
        { at: 12.5, points: [[1, 2]] },
        { at: 'rear-cheek', points: [[3, 4]] },
      ],
    })
    expect(fitSteps(pin, rings, clock).map((step) => step.name)).toEqual(expect.arrayContaining(['Line at 12.5', 'Rear cheek']))
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
    pick: { u: 1, v: 2 },
    nearest: { u: 1, v: 2 },
    residualMm,
  })

  it('a step stands empty, short of points, good, or to be looked at again', () => {
    const [left, right] = fitSteps(pin, twoPoints, clock)
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
      clock,
    )[0]
    if (!left || !right || !three) throw new Error('a step is missing')
    expect(standingOf(right, []).standing).toBe('empty')
    expect(standingOf(left, []).standing).toBe('more')
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
})
