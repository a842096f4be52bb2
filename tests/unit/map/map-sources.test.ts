import { describe, expect, it } from 'vitest'
import { emptySources, handoversOf, photoAt, takeSources } from '@/components/map/map-sources'

const totalS = 10
const size = { width: 80, height: 40 }

/** Photograph 0 shows the left half of the turn, photograph 1 the right; a block between them is shown by none. */
function laidOut() {
  const sources = emptySources(size, ['ph1', 'ph2'])
  for (const firstRow of [0, 20]) {
    const block = (firstColumn: number, photo: number) => {
      return { firstColumn, columns: 32, rgba: new Uint8ClampedArray(0), sources: new Uint8Array(32 * 20).fill(photo) }
    }
    takeSources(sources, { firstRow, rows: 20, width: 80, blocks: [block(0, 0), block(48, 1)] })
  }
  return sources
}

describe('which photograph each place of a rollout is from', () => {
  it('is told at a place, past a turn too; null where none shows it', () => {
    const sources = laidOut()
    expect(photoAt(sources, { theta: 0.1, s: 5 }, totalS)).toBe('ph1')
    expect(photoAt(sources, { theta: -0.1, s: 0 }, totalS)).toBe('ph2')
    expect(photoAt(sources, { theta: 2 * Math.PI + 0.1, s: totalS }, totalS)).toBe('ph1')
    expect(photoAt(sources, { theta: Math.PI, s: 5 }, totalS)).toBeNull()
  })

  it('a stripe takes the place of what was there before', () => {
    const sources = laidOut()
    takeSources(sources, { firstRow: 0, rows: 20, width: 80, blocks: [] })
    expect(photoAt(sources, { theta: 0.1, s: 9 }, totalS)).toBeNull()
    expect(photoAt(sources, { theta: 0.1, s: 1 }, totalS)).toBe('ph1')
  })

  it('lines stand where one hands over, names in the middle of what they show', () => {
    const { lines, names } = handoversOf(laidOut(), totalS)
    const angles = new Set(lines.map(([from]) => Math.round((from.theta / (2 * Math.PI)) * 80)))
    expect([...angles].sort((a, b) => a - b)).toEqual([32, 48])
    expect(lines.every(([from, to]) => from.theta === to.theta)).toBe(true)
    expect(names.map(({ name, at }) => [name, Math.round((at.theta / (2 * Math.PI)) * 80)])).toEqual([
      ['ph1', 16],
      ['ph2', 64],
    ])
  })
})
