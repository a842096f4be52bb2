/** A dragged point catches edges, lines and holes of known place, drawn pixel by pixel here. */
import { describe, expect, it } from 'vitest'
import { snapped } from '../../../lib/photo/snap'
import type { Patch } from '../../../lib/photo/snap-profile'
import { noiseFrom } from '../../fixtures/render/noise'

const size = 80
const middle = 40

/** A picture whose brightness is given across a line through (40, 40) turned by `turnDeg`, `offset` px beside it; every pixel averages 6 x 6 places. */
function across(
  bright: (distance: number) => number,
  turnDeg: number,
  offset: number,
  grain = 1.5,
): { patch: Patch; normal: [number, number] } {
  const turn = (turnDeg * Math.PI) / 180
  const normal: [number, number] = [Math.cos(turn), Math.sin(turn)]
  const noise = noiseFrom(turnDeg + 17)
  const grey = new Float32Array(size * size)
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      let sum = 0
      for (let j = 0; j < 6; j++)
        for (let i = 0; i < 6; i++)
          sum += bright((x + (i + 0.5) / 6 - middle) * normal[0] + (y + (j + 0.5) / 6 - middle) * normal[1] - offset)
      grey[y * size + x] = sum / 36 + grain * noise.normal()
    }
  }
  return { patch: { u: 0, v: 0, scale: 1, width: size, height: size, grey }, normal }
}

const turns = [0, 12, 37, 45, 71, 90, 133]

describe('a dragged point', () => {
  it.each(turns)('on a step turned by %i degrees catches it to a tenth of a pixel, without and with a known direction', (turnDeg) => {
    const { patch, normal } = across((d) => (d < 0 ? 170 : 70), turnDeg, 2.3)
    for (const direction of [null, normal]) {
      const found = snapped(patch, { u: middle, v: middle }, 'edge', 6, direction)
      if (!found) throw new Error('nothing caught')
      expect(Math.abs((found.u - middle) * normal[0] + (found.v - middle) * normal[1] - 2.3)).toBeLessThan(0.1)
    }
  })

  it.each(turns)('on a dark line 1.6 px wide, turned by %i degrees, catches its middle to a quarter of a pixel', (turnDeg) => {
    const { patch, normal } = across((d) => (Math.abs(d) < 0.8 ? 60 : 160), turnDeg, -1.7)
    const found = snapped(patch, { u: middle, v: middle }, 'line', 5, null)
    if (!found) throw new Error('nothing caught')
    expect(Math.abs((found.u - middle) * normal[0] + (found.v - middle) * normal[1] + 1.7)).toBeLessThan(0.25)
  })

  it('on a dark round mouth catches its middle', () => {
    const grey = new Float32Array(size * size)
    for (let y = 0; y < size; y++)
      for (let x = 0; x < size; x++) grey[y * size + x] = Math.hypot(x + 0.5 - 42.6, y + 0.5 - 38.7) < 9 ? 25 : 150
    const found = snapped({ u: 100, v: 50, scale: 1, width: size, height: size, grey }, { u: 140, v: 90 }, 'hole', 9, null)
    if (!found) throw new Error('nothing caught')
    expect(Math.hypot(found.u - 142.6, found.v - 88.7)).toBeLessThan(0.2)
  })

  it('on plain noise catches nothing', () => {
    const { patch } = across(() => 128, 30, 0, 4)
    for (const to of ['edge', 'line', 'hole'] as const) expect(snapped(patch, { u: middle, v: middle }, to, 6, null)).toBeNull()
  })

  it('beyond its reach catches nothing', () => {
    const { patch, normal } = across((d) => (d < 0 ? 170 : 70), 0, 12)
    expect(snapped(patch, { u: middle, v: middle }, 'edge', 6, normal)).toBeNull()
  })
})
