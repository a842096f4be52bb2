/** A vertex of a mark catches drawn lines of known place, dark or glowing, on steel whose lay is stronger than they are. */
import { describe, expect, it } from 'vitest'
import type { Patch } from '../../../lib/photo/snap-profile'
import { lineBeneath } from '../../../lib/photo/snap-line'
import { noiseFrom } from '../../fixtures/render/noise'

const size = 110
const middle = 55
const at = { u: middle, v: middle }

/** Steel with a lay along x; a line through (55, 55) moved `offset` px along its normal, at `turnDeg`; 4 x 4 places to a pixel. */
function steel(line: { halfPx: number; by: number } | null, turnDeg: number, offset: number, layBy: number): Patch {
  const turn = (turnDeg * Math.PI) / 180
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  const noise = noiseFrom(turnDeg + 31)
  const lay = Float64Array.from({ length: size }, () => layBy * noise.normal())
  const grey = new Float32Array(size * size)
  for (let y = 0; y < size; y++)
    for (let x = 0; x < size; x++) {
      let covered = 0
      for (let j = 0; j < 4; j++)
        for (let i = 0; i < 4; i++) {
          const off = (x + (i + 0.5) / 4 - middle) * c + (y + (j + 0.5) / 4 - middle) * s - offset
          if (line && Math.abs(off) < line.halfPx) covered += 1 / 16
        }
      grey[y * size + x] = 130 + lay[y] + 2 * noise.normal() + (line?.by ?? 0) * covered
    }
  return { u: 0, v: 0, scale: 1, width: size, height: size, grey }
}

function offFrom(found: { u: number; v: number } | null, turnDeg: number, offset: number): number {
  if (!found) throw new Error('nothing caught')
  const turn = (turnDeg * Math.PI) / 180
  return Math.abs((found.u - middle) * Math.cos(turn) + (found.v - middle) * Math.sin(turn) - offset)
}

describe('a vertex of a mark', () => {
  it.each([0, 15, 40, 63, 120])('catches a dark line at %i degrees across the lay to a third of a pixel', (turnDeg) => {
    expect(offFrom(lineBeneath(steel({ halfPx: 0.7, by: -60 }, turnDeg, 3.2, 4), at, 8, false), turnDeg, 3.2)).toBeLessThan(0.34)
  })

  it.each([0, 50, 90, 155])('catches a glowing line four px wide at %i degrees', (turnDeg) => {
    expect(offFrom(lineBeneath(steel({ halfPx: 2, by: 90 }, turnDeg, -2.6, 1), at, 8, true), turnDeg, -2.6)).toBeLessThan(0.34)
  })

  it('takes the nearer of two lines that are as clear', () => {
    const one = steel({ halfPx: 0.8, by: -60 }, 0, -2, 2)
    const other = steel({ halfPx: 0.8, by: -60 }, 0, 6, 2)
    const both = { ...one, grey: one.grey.map((value, i) => Math.min(value, other.grey[i])) }
    expect(offFrom(lineBeneath(both, at, 8, false), 0, -2)).toBeLessThan(0.34)
  })

  it('catches nothing dark where lines glow, nor a line beyond its reach', () => {
    expect(lineBeneath(steel({ halfPx: 0.7, by: -60 }, 30, 0, 1), at, 3, true)).toBeNull()
    expect(lineBeneath(steel({ halfPx: 0.7, by: -60 }, 0, 11, 1), at, 6, false)).toBeNull()
  })

  it('on steel with lay alone mostly catches nothing', () => {
    const caught = Array.from({ length: 40 }, (_, k) => lineBeneath(steel(null, k * 4.5, 0, 4), at, 8, false)).filter((found) => found)
    expect(caught.length).toBeLessThanOrEqual(10)
  })
})
