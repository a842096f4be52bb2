import { describe, expect, it } from 'vitest'
import { tieInformation } from '../../../lib/photo/tie-sigma'

describe('how well a tie holds', () => {
  it('adds what both photographs shift a patch by to what the patch tells: 0.023 mm each where they face it', () => {
    const [xx, xy, yy] = tieInformation([1e6, 0, 1e6], [1, 1])
    expect(1 / Math.sqrt(xx)).toBeCloseTo(0.0325, 3)
    expect(1 / Math.sqrt(yy)).toBeCloseTo(0.0325, 3)
    expect(xy).toBeCloseTo(0, 9)
  })

  it('holds less where a place is seen obliquely, around the shaft most of all', () => {
    const facing = tieInformation([400, 60, 300], [1, 1])
    const oblique = tieInformation([400, 60, 300], [0.5, 0.9])
    expect(oblique[0] / facing[0]).toBeLessThan(oblique[2] / facing[2])
    expect(oblique[2]).toBeLessThan(facing[2])
  })

  it('says nothing where the patch does not', () => {
    expect(tieInformation([0, 0, 0], [1, 1])).toEqual([0, 0, 0])
  })
})
