import { describe, expect, it } from 'vitest'
import { stripPlaces } from '@/components/shaft/strip-places'

describe('the strip of the whole shaft', () => {
  it('mains and pins take turns, each half a cell further', () => {
    const { places, steps } = stripPlaces(['main', 'pin', 'main', 'pin', 'main'])
    expect(places.map((place) => place.x)).toEqual([0, 1, 2, 3, 4])
    expect(steps).toBe(6)
  })

  it('two pins on one throw stand beside each other, not over each other', () => {
    const { places } = stripPlaces(['main', 'pin', 'pin', 'main'])
    expect(places).toEqual([
      { x: 0, row: 'main' },
      { x: 1, row: 'pin' },
      { x: 3, row: 'pin' },
      { x: 4, row: 'main' },
    ])
  })
})
