import { describe, expect, it } from 'vitest'
import { correlateTurns, spectraOf } from '../../../lib/photo/strip-correlation'
import type { TextureStrip } from '../../../lib/photo/texture'
import { groundOfSeed, pxPerMm, strip, stripWidth } from './ground-strips'

const mostRows = 3
const columnsOf = (deg: number) => (deg / 360) * stripWidth

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

describe('correlating two strips over all turns', () => {
  it.each([40, -55, 75])('is highest at a turn of %s degrees and a slide along the axis', (deg) => {
    const ground = groundOfSeed(11)
    const first = strip({ ground, facingDeg: 0 })
    const second = strip({ ground, facingDeg: deg, seed: 2, slideMm: 2 / pxPerMm })
    const { correlation, rows, overlap } = correlateTurns(spectraOf(first), spectraOf(second), mostRows)
    let best = 0
    for (let k = 0; k < stripWidth; k++) if (!(correlation[k] <= correlation[best])) best = Number.isNaN(correlation[k]) ? best : k
    // a place at angle theta of the second stands at theta + turn in the first; rows run against s
    const off = best - columnsOf(deg)
    expect(Math.abs(off - stripWidth * Math.round(off / stripWidth))).toBeLessThan(1.5)
    expect(rows[best]).toBe(-2)
    expect(correlation[best]).toBeGreaterThan(0.4)
    expect(correlation[best]).toBeCloseTo(byDefinition(first, second, best, rows[best]), 6)
    expect(overlap[best]).toBeGreaterThan(0.03 * stripWidth * first.height)
  })

  it('is told at no turn where the two have too little in common', () => {
    const first = strip({ ground: groundOfSeed(12), facingDeg: 0 })
    const blind = { ...first, mask: new Uint8Array(first.mask.length), value: new Float32Array(first.value.length) }
    expect(correlateTurns(spectraOf(first), spectraOf(blind), mostRows).correlation.every(Number.isNaN)).toBe(true)
  })
})
