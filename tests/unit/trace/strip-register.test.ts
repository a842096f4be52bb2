/** Strips of one surface, laid a few places beside each other, are drawn together; what shares nothing stays where its fit puts it. */
import { describe, expect, it } from 'vitest'
import type { LineGrid } from '../../../lib/trace/line-grid'
import type { LineStrip } from '../../../lib/trace/line-strip'
import { registered, stripShifts } from '../../../lib/trace/strip-register'
import { noiseFrom } from '../../fixtures/render/noise'

const grid: LineGrid = { columns: 800, rows: 160, stepTheta: (2 * Math.PI) / 800, stepS: 1 / 16, radius: 8 }

/** Fine relief of the whole turn, slightly smooth, as a picture shows it. */
const relief = (() => {
  const noise = noiseFrom(3)
  const raw = Float32Array.from({ length: grid.columns * grid.rows }, () => 0.04 * noise.normal())
  return (x: number, y: number) => {
    let sum = 0
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        const row = Math.min(grid.rows - 1, Math.max(0, y + dy))
        sum += raw[row * grid.columns + ((((x + dx) % grid.columns) + grid.columns) % grid.columns)]
      }
    return sum / 3
  }
})()

/** A photograph's strip whose fit puts it so many places too far around and along. */
function strip(first: number, columns: number, around: number, along: number, seed: number, sigma = 0.1, look = relief): LineStrip {
  const sigmaMm = { around: sigma, along: sigma }
  const noise = noiseFrom(seed)
  const lines = new Float32Array(columns * grid.rows)
  for (let y = 0; y < grid.rows; y++)
    for (let i = 0; i < columns; i++) lines[y * columns + i] = look(first + i - around, y - along) + 0.02 * noise.normal()
  return {
    first,
    columns,
    rows: grid.rows,
    lines,
    plain: lines,
    seen: new Uint8Array(lines.length).fill(1),
    facing: new Float32Array(columns).fill(1),
    sigmaMm,
  }
}

describe('strips of photographs that lie a little beside each other', () => {
  const off = [
    [2, -1],
    [-1, 2],
    [-1, -1],
  ]
  const strips = [strip(0, 320, 2, -1, 11), strip(200, 320, -1, 2, 12), strip(430, 400, -1, -1, 13)]

  it('are found to a fifth of a place beside each other, across the seam too', () => {
    const shifts = stripShifts(grid, strips)
    const left = shifts.map(({ around, along }, i) => [around + off[i][0], along + off[i][1]])
    for (const axis of [0, 1]) {
      const middle = (left[0][axis] + left[1][axis] + left[2][axis]) / 3
      for (const one of left) expect(Math.abs(one[axis] - middle)).toBeLessThan(0.2)
    }
  })

  it('show the same at the same place afterwards', () => {
    const [one, other] = registered(grid, strips)
    const at = (s: LineStrip, column: number, row: number) => s.lines[row * s.columns + column - s.first]
    let [difference, size] = [0, 0]
    for (let row = 10; row < grid.rows - 10; row++)
      for (let column = 210; column < 310; column++) {
        difference += (at(one, column, row) - at(other, column, row)) ** 2
        size += at(one, column, row) ** 2
      }
    expect(difference / size).toBeLessThan(0.6)
  })

  it('move the less the surer their own fits are', () => {
    const [sure, unsure] = stripShifts(grid, [strip(0, 320, 0, 0, 15, 0.03), strip(200, 320, 4, 0, 16, 0.5)])
    expect(Math.abs(sure.around)).toBeLessThan(0.1)
    expect(Math.abs(unsure.around + 4)).toBeLessThan(0.3)
  })

  it('stay where they are where they share nothing', () => {
    const noise = noiseFrom(40)
    const shifts = stripShifts(grid, [strips[0], strip(100, 320, 0, 0, 14, 0.1, () => 0.04 * noise.normal())])
    for (const { around, along } of shifts) expect([around, along]).toEqual([0, 0])
  })
})
