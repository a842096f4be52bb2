import { describe, expect, it } from 'vitest'
import { sharedTurns, type TurnMatch } from '../../../lib/photo/turn-graph'
import { noiseFrom } from '../../fixtures/render/noise'
import { wrapped } from './ground-strips'

const deg = Math.PI / 180
/** Offsets that are to be added to each photograph's own angles. */
const offsets = [0, 50, 95, 150, 200, 250, 300].map((d) => d * deg)
const between = (first: number, second: number, strength = 0.5, error = 0): TurnMatch => ({
  first,
  second,
  turn: wrapped(offsets[second] - offsets[first]) + error,
  strength,
})
const known = offsets.map((_, i) => i === 0)
const around = offsets.map((_, i) => between(i, (i + 1) % offsets.length))

describe('turns around the journal', () => {
  it('share the closing error evenly', () => {
    const error = 1.4 * deg
    const matches = around.map((match, i) => (i === 3 ? { ...match, turn: match.turn + error } : match))
    const turns = sharedTurns(known, offsets, matches)
    const left = matches.map(({ first, second, turn }) => wrapped((turns[second] ?? 0) - (turns[first] ?? 0) - turn))
    for (const one of left) expect(Math.abs(one)).toBeCloseTo(error / 7, 6)
  })

  it('hold two photographs of known angle to what they know', () => {
    const own = offsets.map((offset, i) => (i === 3 ? 0 : offset))
    const matches = [
      { first: 0, second: 1, turn: own[1], strength: 0.5 },
      { first: 1, second: 3, turn: wrapped(own[3] - own[1]) + 0.5 * deg, strength: 0.5 },
    ]
    const turns = sharedTurns([true, false, false, true], [0, own[1], null, 0], matches)
    expect([turns[0], turns[3]]).toEqual([0, 0])
    expect(turns[1]).toBeCloseTo(own[1] - 0.25 * deg, 6)
    expect(turns[2]).toBeNull()
  })

  it('stay near the truth whatever the seam', () => {
    const noise = noiseFrom(5)
    for (let round = 0; round < 50; round++) {
      const spin = noise.uniform(-10, 10)
      const matches = around.map((match) => ({ ...match, turn: match.turn + 2 * Math.PI * Math.round(spin) + 0.1 * deg * noise.normal() }))
      sharedTurns(known, offsets, matches).forEach((turn, i) => {
        expect(Math.abs(wrapped((turn ?? Number.NaN) - offsets[i]))).toBeLessThan(1 * deg)
      })
    }
  })
})
