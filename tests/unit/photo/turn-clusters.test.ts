/** Photographs that grow together by what all pairs say: weak matches that agree decide, one that the others contradict does not. */
import { describe, expect, it } from 'vitest'
import { clusteredTurns, type PairEvidence } from '../../../lib/photo/turn-clusters'
import { turnEvidence } from '../../../lib/photo/turn-evidence'
import { noiseFrom } from '../../fixtures/render/noise'

const width = 512
const search = { width, room: 2, apart: 10, leastMargin: 10 }
/** By which column each photograph's own angles are to be moved. */
const columns = [0, 70, 150, 230, 310, 400]
const known = columns.map((_, i) => i === 0)

/** How far a column lies from the wanted one, either way about the turn. */
const off = (column: number | null, wanted: number) => {
  const d = (column ?? Number.NaN) - wanted
  return Math.abs(d - width * Math.round(d / width))
}

/** A pair's correlations: chance of deviation 0.05 everywhere, and a match of this height at a column. */
function pairOf(first: number, second: number, height: number, column = columns[second] - columns[first]): PairEvidence {
  const noise = noiseFrom(100 * first + second)
  const correlation = Float64Array.from({ length: width }, () => 0.05 * noise.normal())
  correlation[(column + width) % width] += height
  return { first, second, evidence: turnEvidence({ correlation, overlap: new Float64Array(width).fill(400), whole: 2000 }, 0, 0) }
}

describe('photographs that grow together', () => {
  it('follow from neighbour to neighbour, whichever is known', () => {
    const pairs = columns.slice(1).map((_, i) => pairOf(i, i + 1, 0.4))
    clusteredTurns(known, pairs, search).forEach((column, i) => {
      expect(off(column, columns[i])).toBeLessThanOrEqual(2)
    })
    const last = clusteredTurns(
      columns.map((_, i) => i === 5),
      pairs,
      search,
    )
    last.forEach((column, i) => {
      expect(off(column, columns[i] - columns[5])).toBeLessThanOrEqual(2)
    })
  })

  it('are tied by three weak matches that agree, by one of them not', () => {
    const two = [pairOf(0, 1, 0.5), pairOf(0, 2, 0.5)]
    const weak = [pairOf(0, 3, 0.24), pairOf(1, 3, 0.24), pairOf(2, 3, 0.24)]
    expect(clusteredTurns(known, [...two, weak[0]], search)[3]).toBeNull()
    expect(off(clusteredTurns(known, [...two, ...weak], search)[3], columns[3])).toBeLessThanOrEqual(2)
  })

  it('are not turned by a match that two others contradict', () => {
    const pairs = [pairOf(0, 1, 0.5), pairOf(0, 2, 0.5), pairOf(0, 3, 0.3, 400), pairOf(1, 3, 0.4), pairOf(2, 3, 0.4)]
    expect(off(clusteredTurns(known, pairs, search)[3], columns[3])).toBeLessThanOrEqual(2)
  })

  it('are left where a second turn is nearly as likely', () => {
    const twice = pairOf(0, 1, 0.4)
    twice.evidence[300] = twice.evidence[columns[1]]
    expect(clusteredTurns(known, [twice], search)[1]).toBeNull()
  })

  it('are left where they hang on none whose angle is known', () => {
    expect(clusteredTurns(known, [pairOf(0, 1, 0.4), pairOf(3, 4, 0.5)], search).map((column) => column !== null)).toEqual([
      true,
      true,
      false,
      false,
      false,
      false,
    ])
  })
})

describe('what a correlation says', () => {
  it('is nothing about a common standpoint, where lamps stand still', () => {
    const correlation = new Float64Array(width).map((_, k) => (k === 5 ? 0.9 : 0.01 * Math.sin(k)))
    const evidence = turnEvidence({ correlation, overlap: new Float64Array(width).fill(400), whole: 2000 }, 0, 20)
    expect(evidence.slice(0, 20).every((value) => value === 0)).toBe(true)
    expect(Math.max(...evidence)).toBe(0)
  })

  it('is little where little of the map is compared, however much that is alike', () => {
    const noise = noiseFrom(4)
    const correlation = Float64Array.from({ length: width }, () => 0.05 * noise.normal())
    correlation[100] = 0.9
    const of = (whole: number) => turnEvidence({ correlation, overlap: new Float64Array(width).fill(400), whole }, 300, 20)[100]
    expect(of(4_000)).toBeGreaterThan(30)
    expect(of(16_000)).toBeLessThan(10)
  })

  it('is measured by the chance that the curve itself shows', () => {
    const of = (deviation: number) => {
      const noise = noiseFrom(3)
      const correlation = Float64Array.from({ length: width }, () => deviation * noise.normal())
      correlation[100] = 0.3
      return turnEvidence({ correlation, overlap: new Float64Array(width).fill(400), whole: 2000 }, 300, 20)[100]
    }
    expect(of(0.05)).toBeGreaterThan(12)
    expect(of(0.15)).toBeLessThan(4)
  })
})
