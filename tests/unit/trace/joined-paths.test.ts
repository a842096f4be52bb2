import { describe, expect, test } from 'vitest'
import { byBestView } from '../../../lib/trace/best-view'
import { joinedPaths } from '../../../lib/trace/joined-paths'
import type { LineEvidence } from '../../../lib/trace/line-evidence'
import type { LineGrid } from '../../../lib/trace/line-grid'
import type { LineStrip } from '../../../lib/trace/line-strip'
import type { RidgePath } from '../../../lib/trace/ridge-path'
import { partedAtScores } from '../../../lib/trace/score-runs'
import { noiseFrom } from '../../fixtures/render/noise'

const columns = 400
const rows = 100
const evidence: LineEvidence = {
  columns,
  rows,
  height: new Float32Array(columns * rows),
  direction: new Uint8Array(columns * rows),
  contrast: new Float32Array(columns * rows),
}

function line(from: [number, number], to: [number, number]): RidgePath {
  const count = Math.round(Math.hypot(to[0] - from[0], to[1] - from[1]) / 2)
  const points = Array.from({ length: count + 1 }, (_, k) => ({
    x: from[0] + ((to[0] - from[0]) * k) / count,
    y: from[1] + ((to[1] - from[1]) * k) / count,
  }))
  return { points, heights: points.map(() => 5) }
}

const limits = { gap: 16, turnOnLine: 2.2, turnOverMetal: 0.6, isOnLine: () => false }

describe('paths that continue each other', () => {
  test('become one over a gap and across the seam, in one sense, without a jump', () => {
    const [joined, ...rest] = joinedPaths(evidence, [line([360, 50], [394, 50]), line([44, 50], [2, 50])], limits)
    expect(rest).toEqual([])
    expect(Math.abs(joined.points[0].x - joined.points[joined.points.length - 1].x)).toBe(84)
    expect(joined.heights.length).toBe(joined.points.length)
    for (let i = 1; i < joined.points.length; i++)
      expect(Math.hypot(joined.points[i].x - joined.points[i - 1].x, joined.points[i].y - joined.points[i - 1].y)).toBeLessThan(3)
  })

  test('turn sharply over a knot alone, and stay two over bare metal or too wide a gap', () => {
    const corner = [line([100, 50], [150, 50]), line([152, 56], [152, 90])]
    expect(joinedPaths(evidence, corner, limits)).toHaveLength(2)
    expect(joinedPaths(evidence, corner, { ...limits, isOnLine: () => true })).toHaveLength(1)
    expect(joinedPaths(evidence, [line([100, 50], [150, 50]), line([170, 50], [200, 50])], limits)).toHaveLength(2)
  })

  test('are joined with the straighter of two, each end once, and never into a ring', () => {
    const straight = line([156, 50], [200, 50])
    const aside = line([155, 54], [190, 74])
    const joined = joinedPaths(evidence, [line([100, 50], [150, 50]), aside, straight], limits)
    expect(joined).toHaveLength(2)
    expect(Math.max(...joined.map(({ points }) => points.length))).toBeGreaterThan(48)
    expect(joined).toContainEqual(aside)
    const half = line([150, 50], [100, 50])
    expect(joinedPaths(evidence, [line([100, 52], [150, 52]), half], { ...limits, turnOnLine: 7 })).toHaveLength(1)
  })
})

test('a crack that meets a score is parted from it; a crack alone that runs around stays whole', () => {
  const noise = noiseFrom(4)
  const jagged = Array.from({ length: 120 }, (_, k) => ({ x: 2 * k, y: 50 + 2.2 * noise.normal() }))
  const crack: RidgePath = { points: jagged, heights: jagged.map(() => 5) }
  expect(partedAtScores(evidence, crack, 10)).toEqual([crack])
  const score = line([240, 50], [640, 50])
  const both = { points: [...crack.points, ...score.points], heights: [...crack.heights, ...score.heights] }
  const parts = partedAtScores(evidence, both, 10)
  expect(parts).toHaveLength(2)
  expect(parts[0].points.length).toBeGreaterThan(110)
  expect(parts[0].points.length).toBeLessThan(130)
})

test('where two photographs see a place, the one that sees it more squarely tells of it; where they see it alike, both', () => {
  const grid: LineGrid = { columns, rows: 1, stepTheta: (2 * Math.PI) / columns, stepS: 1, radius: 30 }
  const strip = (first: number, facing: (i: number) => number): LineStrip => ({
    first,
    columns: 100,
    rows: 1,
    lines: new Float32Array(100),
    plain: new Float32Array(100),
    seen: new Uint8Array(100).fill(1),
    facing: Float32Array.from({ length: 100 }, (_, i) => facing(i)),
    sigmaMm: { around: 0.1, along: 0.1 },
  })
  // the second begins on the first one's column 60, written a turn further on; both meet at the same slant on column 80
  const [a, b] = byBestView(grid, [strip(0, (i) => 1 - i / 100), strip(columns + 60, (i) => i / 100)])
  expect([...a.seen.slice(0, 80)].every(Boolean)).toBe(true)
  expect([a.seen[84], a.seen[90]]).toEqual([1, 0])
  expect([b.seen[10], b.seen[16], b.seen[60]]).toEqual([0, 1, 1])
})
