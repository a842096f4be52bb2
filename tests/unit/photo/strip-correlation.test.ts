import { describe, expect, it } from 'vitest'
import { matchStrips, spectraOf } from '../../../lib/photo/strip-correlation'
import type { TextureStrip } from '../../../lib/photo/texture'
import { groundOfSeed, pxPerMm, strip, stripWidth } from './ground-strips'

const search = { mostRows: 3, sameStandpoint: 0, leastTurn: (15 / 360) * stripWidth }
const columnsOf = (deg: number) => (deg / 360) * stripWidth

const offZero = (columns = Number.NaN) => Math.min(columns, stripWidth - columns)

/** Masked normalised correlation of b moved by (columns, rows) onto a, from its definition. */
function byDefinition(a: TextureStrip, b: TextureStrip, columns: number, rows: number): number {
  let [ab, aa, bb] = [0, 0, 0]
  for (let y = Math.max(0, -rows); y < Math.min(b.height, a.height - rows); y++) {
    for (let x = 0; x < a.width; x++) {
      const p = (y + rows) * a.width + ((x + columns) % a.width)
      const q = y * a.width + x
      if (!a.mask[p] || !b.mask[q]) continue
      ab += a.value[p] * b.value[q]
      aa += a.value[p] ** 2
      bb += b.value[q] ** 2
    }
  }
  return ab / Math.sqrt(aa * bb)
}

describe('matching two strips', () => {
  it.each([40, -55, 75])('finds a turn of %s degrees and a slide along the axis', (deg) => {
    const ground = groundOfSeed(11)
    const first = strip({ ground, facingDeg: 0 })
    const second = strip({ ground, facingDeg: deg, seed: 2, slideMm: 2 / pxPerMm })
    const match = matchStrips(spectraOf(first), spectraOf(second), search)
    if (!match) throw new Error('no overlap')
    // a place at angle theta of the second stands at theta + turn in the first; rows run against s
    const off = match.columns - columnsOf(deg)
    expect(Math.abs(off - stripWidth * Math.round(off / stripWidth))).toBeLessThan(1.5)
    expect(match.rows).toBe(-2)
    expect(match.peak).toBeGreaterThan(0.4)
    expect(match.peak - match.second).toBeGreaterThan(0.2)
    expect(match.peak).toBeCloseTo(byDefinition(first, second, match.columns, match.rows), 6)
  })

  it('takes nothing where both cameras stand at one place: lamps stand still while the shaft is turned', () => {
    const [first, second] = [21, 22].map((seed) => strip({ ground: groundOfSeed(seed), facingDeg: 0, seed, lamps: 60, lampLean: 0.04 }))
    const free = matchStrips(spectraOf(first), spectraOf(second), { ...search, leastTurn: 0 })
    expect(offZero(free?.columns)).toBeLessThan(8)
    const match = matchStrips(spectraOf(first), spectraOf(second), search)
    expect(offZero(match?.columns)).toBeGreaterThanOrEqual(search.leastTurn)
    // what is left does not beat the lamps
    expect((match?.peak ?? 1) - (match?.second ?? 0)).toBeLessThan(0.1)
  })

  it('is null where the two have too little in common at any turn', () => {
    const first = strip({ ground: groundOfSeed(12), facingDeg: 0 })
    const blind = { ...first, mask: new Uint8Array(first.mask.length), value: new Float32Array(first.value.length) }
    expect(matchStrips(spectraOf(first), spectraOf(blind), search)).toBeNull()
  })
})
