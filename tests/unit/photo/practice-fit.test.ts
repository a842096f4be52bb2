/** Fits for practice must run the code that a person's fits run: an invented photograph that failed at once would practise nothing. */
import { describe, expect, it, vi } from 'vitest'
import * as cylinderFit from '../../../lib/photo/cylinder-fit'
import { practiceFit, practiceFits } from '../../../lib/photo/practice-fit'

describe('a fit for practice', () => {
  it('is a whole fit, trusted, and one more from there', () => {
    const fits = vi.spyOn(cylinderFit, 'fitPhoto')
    for (let turn = 0; turn < practiceFits; turn++) practiceFit(turn)
    expect(fits).toHaveBeenCalledTimes(2 * practiceFits)
    for (const { value } of fits.mock.results) expect(value).toMatchObject({ ok: true, value: { trusted: true, rollKnown: true } })
  })
})
