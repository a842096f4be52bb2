import { describe, expect, it } from 'vitest'
import { agreeingTies, type Displacement } from '../../../lib/photo/agreeing-ties'
import { noiseFrom } from '../../fixtures/render/noise'

/** Displacements that change evenly over a patch of 30 x 25 mm: 1 mm aside, a scale and a turn of 2 %. */
function even(count: number, noiseMm: number, seed: number): Displacement[] {
  const noise = noiseFrom(seed)
  return Array.from({ length: count }, () => {
    const [x, y] = [noise.uniform(-15, 15), noise.uniform(0, 25)]
    return { x, y, dx: 1 + 0.02 * x - 0.02 * y + noiseMm * noise.normal(), dy: -0.5 + 0.02 * x + 0.02 * y + noiseMm * noise.normal() }
  })
}

function stray(count: number, seed: number): Displacement[] {
  const noise = noiseFrom(seed)
  const mm = () => noise.uniform(-3, 3)
  return Array.from({ length: count }, () => ({ x: noise.uniform(-15, 15), y: noise.uniform(0, 25), dx: mm(), dy: mm() }))
}

describe('ties that tell one story', () => {
  it('are told from as many that tell none', () => {
    const chosen = agreeingTies([...even(20, 0.05, 3), ...stray(20, 4)], 0.4)
    expect(chosen.filter((i) => i < 20).length).toBe(20)
    expect(chosen.filter((i) => i >= 20).length).toBeLessThanOrEqual(3)
  })

  it('are few among ties that lie anyhow', () => {
    for (let seed = 10; seed < 30; seed++) expect(agreeingTies(stray(25, seed), 0.4).length).toBeLessThan(9)
  })

  it('are none where there are fewer than three, or all lie in one place', () => {
    expect(agreeingTies(even(2, 0, 1), 0.4)).toEqual([])
    expect(
      agreeingTies(
        Array.from({ length: 9 }, () => ({ x: 1, y: 2, dx: 0.1, dy: 0 })),
        0.4,
      ),
    ).toEqual([])
  })

  it('are the same for the same list', () => {
    const list = [...even(12, 0.05, 5), ...stray(12, 6)]
    expect(agreeingTies(list, 0.4)).toEqual(agreeingTies(list, 0.4))
  })
})
