import { describe, expect, it } from 'vitest'
import { tiePatches } from '../../../lib/photo/tie-points'
import { groundOfSeed, pxPerMm, radius, strip, stripSurface, stripWidth, turnOf, wrapped } from './ground-strips'

const columnsOf = (deg: number) => Math.round((deg / 360) * stripWidth)
const median = (values: number[]) => [...values].sort((a, b) => a - b)[values.length >> 1]

describe('ties between two strips', () => {
  const ground = groundOfSeed(31)
  const [firstView, secondView] = [
    { ground, facingDeg: 0 },
    { ground, facingDeg: 40.13, seed: 2, slideMm: 0.21 },
  ]
  const [first, second] = [strip(firstView), strip(secondView)]
  const ties = tiePatches(stripSurface, first, second, columnsOf(40), Math.round(-0.21 * pxPerMm))

  it('join places that are one place of the journal, to a fraction of a column', () => {
    expect(ties.length).toBeGreaterThanOrEqual(6)
    const around = ties.map(({ inFirst, inSecond }) =>
      Math.abs(radius * wrapped(inFirst.theta + turnOf(firstView) - inSecond.theta - turnOf(secondView))),
    )
    const along = ties.map(({ inFirst, inSecond }) => Math.abs(inFirst.s - inSecond.s - 0.21))
    expect(median(around)).toBeLessThan(0.25 / pxPerMm)
    expect(median(along)).toBeLessThan(0.5 / pxPerMm)
    for (const { correlation } of ties) expect(correlation).toBeGreaterThanOrEqual(0.55)
  })

  it('are found again from a start that is a little off', () => {
    const again = tiePatches(stripSurface, first, second, columnsOf(40) + 2, 1)
    expect(again.length).toBeGreaterThanOrEqual(ties.length - 2)
    const near = again.flatMap((tie) =>
      ties.filter(({ inFirst }) => inFirst.theta === tie.inFirst.theta && inFirst.s === tie.inFirst.s).map((same) => [tie, same] as const),
    )
    expect(near.length).toBeGreaterThanOrEqual(4)
    for (const [tie, same] of near) {
      expect(radius * wrapped(tie.inSecond.theta - same.inSecond.theta)).toBeCloseTo(0, 2)
      expect(tie.inSecond.s).toBeCloseTo(same.inSecond.s, 2)
    }
  })

  it('claim an information that their errors bear out', () => {
    // whitened: about one in size, neither far too sure nor far too shy
    const sizes = ties.map(({ inFirst, inSecond, information: [xx, xy, yy] }) => {
      const x = radius * wrapped(inFirst.theta + turnOf(firstView) - inSecond.theta - turnOf(secondView))
      const y = inFirst.s - inSecond.s - 0.21
      return Math.sqrt(xx * x * x + 2 * xy * x * y + yy * y * y)
    })
    expect(median(sizes)).toBeGreaterThan(0.05)
    expect(median(sizes)).toBeLessThan(3)
  })

  it('are hardly any where the two show different places, and none that a search for the true place would give', () => {
    const wrong = tiePatches(stripSurface, first, second, columnsOf(75), 0)
    expect(wrong.length).toBeLessThanOrEqual(1)
  })

  it('know a straight line around the journal only along the axis', () => {
    const line = (_: number, s: number) => 150 - 60 * Math.exp(-(((s - 12) / 0.4) ** 2))
    const lined = { ...strip({ ground: line, facingDeg: 0 }) }
    for (let i = 0; i < lined.value.length; i++) {
      const s = 24 * (1 - (Math.floor(i / stripWidth) + 0.5) / lined.height)
      lined.value[i] = lined.mask[i] ? Math.exp(-(((s - 12) / 0.6) ** 2)) : 0
    }
    for (const { information } of tiePatches(stripSurface, lined, lined, 0, 0))
      expect(information[0]).toBeLessThan(0.01 * information[2] + 1e-9)
  })
})
