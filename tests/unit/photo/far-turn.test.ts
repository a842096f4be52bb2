/** Photographs 120 degrees apart share a few degrees that both see obliquely: they are turned and drawn together by them, or not at all. */
import { describe, expect, it } from 'vitest'
import { farMatches, farTies } from '../../../lib/photo/far-turn'
import { fineColumns, type GlowStrip, smoothedStrip } from '../../../lib/photo/glow-strip'
import { overlapTies } from '../../../lib/photo/overlap-ties'
import { patchesOfSeed, radius, stripSurface, turnOf, type View, glowStrip, wrapped } from './ground-strips'

const width = 1024
const views = (ground: View['ground']): [View, View] => [
  { ground, facingDeg: 20, seed: 1 },
  { ground, facingDeg: 132, seed: 2, slideMm: 0.1 },
]
const smooth = (view: View) => smoothedStrip(glowStrip(view), 1)
const best = (evidence: Float64Array) => evidence.indexOf(Math.max(...evidence))
const everyPair = () => true

describe('turns of photographs far apart', () => {
  const [first, second] = views(patchesOfSeed(7))
  const strips = [smooth(first), smooth(second)]
  const turn = turnOf(second) - turnOf(first)

  it('are told by what both see obliquely', () => {
    const [{ evidence }] = farMatches(stripSurface, strips, width, everyPair)
    expect(radius * Math.abs(wrapped((best(evidence) / width) * 2 * Math.PI - turn))).toBeLessThan(0.8)
    const found = farTies(stripSurface, strips[0], strips[1], evidence, turn + 0.01)
    expect(radius * Math.abs(wrapped(found.turn - turn))).toBeLessThan(0.8)
    expect(found.ties).toHaveLength(8)
    for (const { inFirst, inSecond } of found.ties) expect(wrapped(inFirst.theta - inSecond.theta - found.turn)).toBeCloseTo(0, 9)
  })

  it('stand out less where the surfaces are two', () => {
    const other = smooth({ ...second, ground: patchesOfSeed(8) })
    const most = (one: GlowStrip) => Math.max(...farMatches(stripSurface, [strips[0], one], width, everyPair)[0].evidence)
    expect(most(strips[1])).toBeGreaterThan(2 * most(other))
  })

  it('are told of the pairs that are asked for alone', () => {
    expect(farMatches(stripSurface, strips, width, () => false)).toEqual([])
  })

  it('are never those at which both stand at one place', () => {
    const [{ evidence }] = farMatches(stripSurface, [strips[0], smooth({ ...first, seed: 5 })], width, everyPair)
    expect(evidence[0]).toBe(0)
  })
})

describe('windows of photographs far apart', () => {
  const ground = patchesOfSeed(9)
  const [first, second] = views(ground)
  /** As by cameras that lie right but for 0.6 mm around and 0.1 mm along. */
  const laid = (view: View, offMm: number): GlowStrip => {
    const strip = glowStrip(view, fineColumns)
    return { ...strip, first: strip.first + Math.round(((turnOf(view) + offMm / radius) / (2 * Math.PI)) * fineColumns) }
  }

  it('are drawn onto each other to a part of a column, each as surely as it claims', () => {
    const [a, b] = [laid(first, 0), laid(second, 0.6)]
    const ties = overlapTies(stripSurface, a, b, { around: 1.5, along: 0.5 })
    expect(ties.length).toBeGreaterThan(5)
    const off = (turnOf(first) / (2 * Math.PI)) * fineColumns - Math.round((turnOf(first) / (2 * Math.PI)) * fineColumns)
    const other = ((turnOf(second) + 0.6 / radius) / (2 * Math.PI)) * fineColumns
    const shiftMm = 0.6 - (other - Math.round(other) - off) * a.step.around
    const sigmas = ties.map(({ columns, information: [xx, xy, yy] }) => {
      const aroundMm = Math.sqrt(yy / (xx * yy - xy * xy))
      return Math.abs(columns * a.step.around - shiftMm) / Math.hypot(aroundMm, 0.03)
    })
    expect(sigmas.sort((p, q) => p - q)[sigmas.length >> 1]).toBeLessThan(1.4)
    expect(Math.max(...ties.map(({ rows }) => Math.abs(rows * a.step.along + 0.1)))).toBeLessThan(0.3)
  })

  it('are left where nothing agrees', () => {
    const strange = laid({ ...second, ground: patchesOfSeed(10) }, 0)
    expect(overlapTies(stripSurface, laid(first, 0), strange, { around: 1.5, along: 0.5 }).length).toBeLessThan(4)
  })
})
