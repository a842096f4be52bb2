/** Journals of common shafts, counted by hand. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { cylinderChoices, plannedJournals, renumbered } from '../../../components/setup/shaft-layout'

const names = (...args: Parameters<typeof plannedJournals>) =>
  plannedJournals(...args)
    .map((journal) => journal.name)
    .join(' ')

describe('a shaft counted by cylinders', () => {
  it('four in line, five mains', () => {
    expect(names({ cylinders: 4, throws: 'one', mainsEvery: 1 })).toBe('M1 P1 M2 P2 M3 P3 M4 P4 M5')
  })
  it('four in line, three mains', () => {
    expect(names({ cylinders: 4, throws: 'one', mainsEvery: 2 })).toBe('M1 P1 P2 M2 P3 P4 M3')
  })
  it('eight with two rods to a pin', () => {
    expect(names({ cylinders: 8, throws: 'two', mainsEvery: 1 })).toBe('M1 P1 M2 P2 M3 P3 M4 P4 M5')
  })
  it('six with split pins: two halves side by side, a step between them', () => {
    const journals = plannedJournals({ cylinders: 6, throws: 'split', mainsEvery: 1 })
    expect(journals.map((journal) => journal.name).join(' ')).toBe('M1 P1 P2 M2 P3 P4 M3 P5 P6 M4')
    expect(journals[1]?.stepEnds).toEqual({ front: false, rear: true })
    expect(journals[2]?.stepEnds).toEqual({ front: true, rear: false })
    expect(journals[1]?.throwIndex).toBe(journals[2]?.throwIndex)
  })
  it('one cylinder', () => {
    expect(names({ cylinders: 1, throws: 'one', mainsEvery: 1 })).toBe('M1 P1 M2')
  })
  it('always begins and ends with a main, with every name once', () => {
    const choice = fc.record({
      cylinders: fc.constantFrom(...cylinderChoices),
      throws: fc.constantFrom('one' as const, 'two' as const, 'split' as const),
      mainsEvery: fc.constantFrom(1 as const, 2 as const),
    })
    fc.assert(
      fc.property(choice, (counted) => {
        const journals = plannedJournals(counted)
        expect([journals[0]?.kind, journals.at(-1)?.kind]).toEqual(['main', 'main'])
        expect(new Set(journals.map((journal) => journal.name)).size).toBe(journals.length)
      }),
    )
  })
})

it('counted journal by journal names go on from the front', () => {
  expect(renumbered(['pin', 'main', 'pin', 'pin']).map((journal) => journal.name)).toEqual(['P1', 'M1', 'P2', 'P3'])
})
