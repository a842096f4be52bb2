/** Slips at the micrometer, each with the reading that was meant. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { oddReading, underStandard } from '../../../lib/cut/odd-reading'

const others = [73.514, 73.512, 73.516]

describe('a reading that does not fit', () => {
  it.each([
    ['two digits swapped', 75.314, 73.514],
    ['one digit wrong', 73.914, 73.514],
    ['a decimal point too far right', 735.14, 73.514],
    ['typed in inches', 2.8943, 2.8943 * 25.4],
  ])('%s', (_, typed, meant) => {
    expect(oddReading(typed, others, 73.5, 'mm')?.likely).toBeCloseTo(meant, 6)
  })

  it('is held against the set-up while it is the first', () => {
    expect(oddReading(73.514, [], 73.9, 'mm')).toBeNull()
    expect(oddReading(78.5, [], 73.5, 'mm')).toMatchObject({ against: 'set-up', difference: 5, likely: expect.closeTo(73.5, 6) })
  })

  it('looks for the slip in the digits it was typed in', () => {
    const inch = [2.3641, 2.3643].map((value) => value * 25.4)
    expect(oddReading(2.6342 * 25.4, inch, 60, 'in')?.likely).toBeCloseTo(2.3642 * 25.4, 6)
  })

  it('asks without a guess where no single slip explains it', () => {
    expect(oddReading(11.111, others, 73.5, 'mm')).toMatchObject({ likely: null })
  })

  it('never asks about a reading among its neighbours, and never guesses one that it would ask about', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 300, noNaN: true }), (typed) => {
        const odd = oddReading(typed, others, 73.5, 'mm')
        if (Math.abs(typed - 73.514) <= 0.14) expect(odd).toBeNull()
        if (odd?.likely != null) expect(oddReading(odd.likely, others, 73.5, 'mm')).toBeNull()
      }),
    )
  })
})

describe('under the standard size', () => {
  it('2.3642 in against 2.3730 in is close to the 0.010 in undersize', () => {
    const found = underStandard(2.3642 * 25.4, 2.373 * 25.4, 'in')
    expect(found?.under).toBeCloseTo(0.0088 * 25.4, 9)
    expect(found?.undersize).toBeCloseTo(0.254, 9)
  })

  it('wear of a tenth is no undersize, and a standard journal is not under', () => {
    expect(underStandard(73.89, 73.99, 'mm')).toMatchObject({ undersize: null })
    expect(underStandard(73.99, 73.99, 'mm')).toBeNull()
    expect(underStandard(60, 73.99, 'mm')).toBeNull()
  })
})
