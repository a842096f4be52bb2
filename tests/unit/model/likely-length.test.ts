/** Slips of the keyboard in a length. */
import fc from 'fast-check'
import { expect, it } from 'vitest'
import type { Units } from '../../../lib/model/inspection'
import { isUsual, likelyLength, usualLengths } from '../../../lib/model/likely-length'

it.each<[string, number, Units, number, string]>([
  ['an inch value in an mm shop', 2.25, 'mm', 57.15, 'typed-in-inch'],
  ['a millimetre value in an inch shop', 57.15 * 25.4, 'in', 57.15, 'typed-in-mm'],
  ['a decimal point left out', 5715, 'mm', 57.15, 'decimal-point'],
])('%s', (_, typed, units, meant, slip) => {
  expect(likelyLength(typed, usualLengths.diameter, units)).toEqual({ mm: expect.closeTo(meant, 9), slip })
})

it('does not ask about a usual length, and guesses nothing it would ask about', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), fc.constantFrom<Units>('mm', 'in'), (mm, units) => {
      const likely = likelyLength(mm, usualLengths.diameter, units)
      if (isUsual(mm, usualLengths.diameter)) expect(likely).toBeNull()
      if (likely) expect(isUsual(likely.mm, usualLengths.diameter)).toBe(true)
    }),
  )
})

it('has no guess for zero or less', () => {
  expect(likelyLength(0, usualLengths.width, 'mm')).toBeNull()
  expect(likelyLength(-3, usualLengths.width, 'mm')).toBeNull()
})
