import { describe, expect, it } from 'vitest'
import { letterPlaces } from '@/components/map/letter-places'
import { freePlace, letterPlate } from '@/components/map/plates'

const frame = { x: 0, y: 0, width: 400, height: 300 }
const apart = (one: { x: number; y: number }, other: { x: number; y: number }) => Math.hypot(one.x - other.x, one.y - other.y)

describe('letters of marks', () => {
  const lettered = (points: { x: number; y: number }[], letter = 'a', chosen = false) => ({ points, letter, chosen })
  const line = lettered([
    { x: 100, y: 100 },
    { x: 200, y: 100 },
  ])
  const size = letterPlate('a')

  it('stand beyond the last point where nothing is in the way, and keep inside the frame', () => {
    expect(letterPlaces([line], frame)).toMatchObject([{ x: 222.3, y: 100 }])
    const [at] = letterPlaces(
      [
        lettered([
          { x: 100, y: 100 },
          { x: 399, y: 100 },
        ]),
      ],
      frame,
    )
    expect(at?.x).toBeLessThanOrEqual(400 - size.width / 2)
  })

  it('keep off one another and off the plates of values', () => {
    const plate = { x: 260, y: 100, width: 120, height: 24 }
    const [letter] = letterPlaces([line], frame, [plate])
    if (!letter) throw new Error('no letter')
    const across = Math.abs(letter.x - plate.x) >= (plate.width + size.width) / 2
    const down = Math.abs(letter.y - plate.y) >= (plate.height + size.height) / 2
    expect(across || down).toBe(true)
    const [one, other] = letterPlaces([line, { ...line }], frame)
    if (!one || !other) throw new Error('no letter')
    expect(apart(one, other)).toBeGreaterThanOrEqual(size.width)
  })

  it('a line without points has none', () => {
    expect(letterPlaces([lettered([])], frame)).toEqual([null])
  })

  it('a long name takes its width; what finds no room has none, but for the chosen mark', () => {
    const crowd = Array.from({ length: 60 }, (_, i) =>
      lettered(
        [
          { x: 100, y: 100 },
          { x: 200, y: 100 + 0.1 * i },
        ],
        'an imported name',
        i === 59,
      ),
    )
    const places = letterPlaces(crowd, frame)
    const shown = places.flatMap((at) => at ?? [])
    expect(places[59]).not.toBeNull()
    expect(shown.length).toBeGreaterThan(2)
    expect(shown.length).toBeLessThan(60)
    const { width, height } = letterPlate('an imported name')
    for (const [i, one] of shown.entries())
      for (const other of shown.slice(i + 1)) expect(Math.abs(one.x - other.x) >= width || Math.abs(one.y - other.y) >= height).toBe(true)
  })
})

describe('a place for a plate', () => {
  it('the first free one, moved into the frame; the first of all where every one is taken', () => {
    const size = { width: 100, height: 24 }
    const taken = [{ x: 51, y: 13, width: 100, height: 24 }]
    const wished = [
      { x: 0, y: 0 },
      { x: 0, y: 60 },
    ]
    expect(freePlace(size, wished, frame, taken)).toMatchObject({ x: 51, y: 60 })
    expect(freePlace(size, wished.slice(0, 1), frame, taken)).toMatchObject({ x: 51, y: 13 })
  })
})
