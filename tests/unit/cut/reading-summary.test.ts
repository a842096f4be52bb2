/** Readings worked by hand. */
import { describe, expect, it } from 'vitest'
import { readingSummary } from '../../../lib/cut/reading-summary'

const at = (axial: number, angleDeg: number, diameter: number) => ({ axial, angleDeg, diameter })

describe('readings of one journal', () => {
  it('out of round is the worst station, taper the worst difference of station means', () => {
    const summary = readingSummary([
      at(7, 0, 73.52),
      at(7, 90, 73.512),
      at(19, 0, 73.516),
      at(19, 90, 73.514),
      at(31, 0, 73.51),
      at(31, 90, 73.508),
    ])
    expect(summary?.smallest).toBe(73.508)
    expect(summary?.largest).toBe(73.52)
    expect(summary?.outOfRound).toBeCloseTo(0.008, 9)
    expect(summary?.taper).toBeCloseTo(73.516 - 73.509, 9)
    expect(summary?.mean).toBeCloseTo((73.52 + 73.512 + 73.516 + 73.514 + 73.51 + 73.508) / 6, 9)
  })

  it('one reading knows neither taper nor out of round', () => {
    expect(readingSummary([at(7, 0, 57.1)])).toEqual({ smallest: 57.1, largest: 57.1, mean: 57.1, outOfRound: null, taper: null })
  })

  it('two angles at one station know out of round alone, two stations taper alone', () => {
    expect(readingSummary([at(7, 0, 57.1), at(7, 90, 57.12)])).toMatchObject({ taper: null, outOfRound: expect.closeTo(0.02, 9) })
    expect(readingSummary([at(7, 0, 57.1), at(20, 0, 57.12)])).toMatchObject({ outOfRound: null, taper: expect.closeTo(0.02, 9) })
  })

  it('is the same in whatever order the readings were typed', () => {
    const readings = [at(31, 0, 73.51), at(7, 0, 73.52), at(19, 90, 73.514), at(7, 90, 73.512)]
    expect(readingSummary(readings)).toEqual(readingSummary([...readings].reverse()))
  })

  it('without readings says nothing', () => {
    expect(readingSummary([])).toBeNull()
  })
})
