/** Photographs that share only a few degrees of the fillets are turned to where these agree, or not at all. */
import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../../lib/journal/surface'
import { journalSchema } from '../../../lib/model/journal'
import { filletColumns, filletMatches, type FilletStrip, filletTies } from '../../../lib/photo/fillet-turn'
import { noiseFrom } from '../../fixtures/render/noise'

const surface = surfaceOf(
  journalSchema.parse({
    id: 'P1',
    kind: 'pin',
    diameter: 60,
    width: 34,
    fillets: { front: { form: 'tangent', radius: 3 }, rear: { form: 'tangent', radius: 3 } },
  }),
)
const rows = Array.from({ length: 24 }, (_, k) => (k < 12 ? 0.39 * (k + 0.5) : surface.totalS - 0.39 * (k - 12 + 0.5)))

/** Dirt around the shaft, a few mm long, that differs slowly from row to row. */
function dirt(seed: number): (column: number, row: number) => number {
  const noise = noiseFrom(seed)
  const waves = Array.from({ length: 60 }, () => ({
    k: Math.floor(noise.uniform(20, 130)),
    phase: noise.uniform(0, 6.3),
    row: noise.uniform(-0.25, 0.25),
  }))
  return (column, row) => {
    const theta = (column / filletColumns) * 2 * Math.PI
    return waves.reduce((sum, { k, phase, row: lean }) => sum + Math.sin(k * theta + phase + lean * row), 60)
  }
}

/** What a camera at this angle sees of it, 78 degrees to either side; its own frame turned by `turn`. */
function seen(of: (column: number, row: number) => number, facingDeg: number, turnDeg: number, seed: number): FilletStrip {
  const noise = noiseFrom(seed)
  const grey = new Float32Array(rows.length * filletColumns).fill(Number.NaN)
  for (let row = 0; row < rows.length; row++) {
    for (let i = 0; i < filletColumns; i++) {
      const deg = ((i + 0.5) / filletColumns) * 360
      const off = deg - facingDeg
      if (Math.abs(off - 360 * Math.round(off / 360)) > 78) continue
      const own = (((i + Math.round((turnDeg / 360) * filletColumns)) % filletColumns) + filletColumns) % filletColumns
      grey[row * filletColumns + own] = of(i, row) + 3 * noise.normal()
    }
  }
  return { rows, grey, facing: grey.map(() => 0.2) }
}

const radians = (deg: number) => (deg * Math.PI) / 180

const width = 1024
const columnOf = (deg: number) => ((((deg / 360) * width) % width) + width) % width
const best = (evidence: Float64Array) => evidence.indexOf(Math.max(...evidence))

describe('turns by what the fillets share', () => {
  const of = dirt(3)
  const views = [
    { strip: seen(of, 50, 0, 1), facing: radians(50) },
    { strip: seen(of, 176, -40, 2), facing: radians(136) },
  ]

  it('are told between two photographs that share 30 degrees of them', () => {
    const [{ evidence }] = filletMatches(views, width, () => true)
    expect(Math.abs(best(evidence) - columnOf(40))).toBeLessThanOrEqual(2)
  })

  it('are drawn tight, with ties that keep to one turn', () => {
    const found = filletTies(surface, views[0], views[1], radians(40.6))
    expect((found.turn * 180) / Math.PI).toBeCloseTo(40, 0)
    expect(found.ties.length).toBeGreaterThan(4)
    for (const { inFirst, inSecond } of found.ties)
      expect(((inFirst.theta - inSecond.theta - found.turn) / (2 * Math.PI)) % 1).toBeCloseTo(0, 9)
  })

  it('are not told between different surfaces, nor where nothing is asked for', () => {
    const others = [views[0], { strip: seen(dirt(4), 176, 0, 2), facing: radians(176) }]
    expect(filletMatches(others, width, () => true)).toEqual([])
    expect(filletMatches(views, width, () => false)).toEqual([])
  })

  it('take nothing that stands still beside the shaft for the surface', () => {
    const still = { strip: seen(dirt(5), 50, 0, 1), facing: radians(50) }
    expect(filletMatches([still, still], width, () => true)).toEqual([])
  })
})
