/** Suggested marks: what a small rendered set shows, what the map's metric and the seam do, and that nothing is made up on bare steel. */
import { describe, expect, it } from 'vitest'
import { boostedTrees } from '../../bench/boosted-trees'
import { lengthFigures, sharesOf } from '../../bench/line-truth'
import { setCandidates } from '../../bench/shop-candidates'
import { shopSet } from '../../fixtures/render/shop-set'
import { scoreOf } from '../../../lib/trace/candidate-score'
import { ultravioletTrees } from '../../../lib/trace/score-ultraviolet'
import { thinnedPath } from '../../../lib/trace/thinned-path'

describe('marks suggested from photographs under ultraviolet', () => {
  it('find most of what glows, and little else', async () => {
    const set = shopSet(81, { photos: 0, closeUps: 0, ultraviolet: 1, scale: 0.6 })
    const { truth, found, features, isListed, girth } = await setCandidates(set, 'ultraviolet')
    const kept = found.flatMap((line, i) => {
      const score = scoreOf(ultravioletTrees, features[i])
      return isListed(i, score) ? [{ ...line, score }] : []
    })
    const { recall, precision } = lengthFigures(truth, kept, girth)
    expect(recall).toBeGreaterThan(0.6)
    expect(precision).toBeGreaterThan(0.75)
  }, 30_000)
})

describe('candidates measured by length', () => {
  const girth = 100
  const crack = {
    kind: 'crack',
    cls: 'strong',
    seen: [true, true],
    points: [
      [98, 5],
      [108, 5],
    ] as [number, number][],
  }

  it('are right within 0.4 mm and 35 degrees, across the seam too', () => {
    const near = {
      points: [
        [-1.9, 5.3],
        [8, 5.3],
      ] as [number, number][],
      score: 1,
    }
    const far = {
      points: [
        [-2, 5.6],
        [8, 5.6],
      ] as [number, number][],
      score: 1,
    }
    const crossing = {
      points: [
        [3, 3],
        [3, 7],
      ] as [number, number][],
      score: 1,
    }
    expect(lengthFigures([crack], [near], girth).f1).toBeGreaterThan(0.98)
    expect(lengthFigures([crack], [far], girth).f1).toBe(0)
    expect(lengthFigures([crack], [crossing], girth).recall).toBe(0)
  })

  it('count neither way on a score, against them on a fibre', () => {
    const line = {
      points: [
        [20, 9],
        [30, 9],
      ] as [number, number][],
      score: 1,
    }
    const on = (kind: string) => ({ kind, cls: kind, seen: [true, true], points: line.points })
    expect(lengthFigures([crack, on('score')], [line], girth).precision).toBe(1)
    expect(lengthFigures([crack, on('fibre')], [line], girth).precision).toBe(0)
    expect(sharesOf([on('fibre')], [line], girth)[0].fibre).toBeCloseTo(10, 0)
  })
})

describe('the trees that judge candidates', () => {
  it('learn a rule of two features that neither tells alone', () => {
    const samples = Array.from({ length: 400 }, (_, i) => {
      const [a, b] = [(i * 37) % 100, (i * 61) % 97]
      return { features: [a, b, 1], target: a > 50 !== b > 48 ? 1 : 0, weight: 1 }
    })
    const trees = boostedTrees(samples, { trees: 40, rate: 0.2, leastWeight: 1, ridge: 1 })
    const wrong = samples.filter(({ features, target }) => (scoreOf(trees, Float64Array.from(features)) > 0.5 ? 1 : 0) !== target)
    expect(wrong.length).toBeLessThan(12)
  })
})

describe('a thinned line', () => {
  it('keeps every vertex within the given distance, and both ends', () => {
    const path = Array.from({ length: 200 }, (_, i) => ({ x: i, y: 6 * Math.sin(i / 15) }))
    const thin = thinnedPath(path, 0.5)
    expect(thin.length).toBeLessThan(40)
    expect([thin[0], thin[thin.length - 1]]).toEqual([path[0], path[199]])
    for (const { x, y } of path) {
      const k = thin.findIndex((p) => p.x >= x)
      const [a, b] = [thin[Math.max(0, k - 1)], thin[k]]
      const t = b.x > a.x ? (x - a.x) / (b.x - a.x) : 0
      expect(Math.abs(a.y + t * (b.y - a.y) - y)).toBeLessThan(0.6)
    }
  })
})
