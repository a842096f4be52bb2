import { describe, expect, it } from 'vitest'
import { pixelRay } from '../../../lib/photo/camera'
import type { Picture } from '../../../lib/rollout/picture'
import { rollout, rolloutJob, rolloutPhoto, rolloutSize, type RolloutView } from '../../../lib/rollout/rollout'
import { benchCamera, benchSurface, radius } from './journal-on-the-bench'

const small = { width: 800, height: 600 }
const size = rolloutSize(benchSurface, 8)
const middleRow = size.height >> 1
const columnOf = (deg: number) => Math.floor((deg / 360) * size.width)

/** What a place looks like, by its angle and axial place; a photograph may see it turned by some degrees, or something in the way. */
function photograph(cameraDeg: number, colour: (deg: number, axial: number) => number[]): RolloutView {
  const camera = benchCamera(cameraDeg)
  const data = new Uint8Array(small.width * small.height * 3)
  for (let y = 0, at = 0; y < small.height; y++) {
    for (let x = 0; x < small.width; x++, at += 3) {
      const { origin: o, direction: d } = pixelRay(camera, { u: (x + 0.5) * 2, v: (y + 0.5) * 2 })
      const a = d[0] ** 2 + d[1] ** 2
      const b = o[0] * d[0] + o[1] * d[1]
      const inside = b * b - a * (o[0] ** 2 + o[1] ** 2 - radius ** 2)
      if (inside < 0) continue
      const t = (-b - Math.sqrt(inside)) / a
      const deg = ((Math.atan2(o[1] + t * d[1], o[0] + t * d[0]) * 180) / Math.PI + 360) % 360
      data.set(colour(deg, o[2] + t * d[2]), at)
    }
  }
  const picture: Picture = { ...small, channels: 3, data }
  return { picture, camera, ignore: [] }
}

const steel = [130, 130, 130]
/** Dark lines along the shaft, 0.6 mm wide, every 8 degrees. */
const lined = (shiftDeg: number) => (deg: number) => (Math.abs(((((deg - shiftDeg) % 8) + 8) % 8) - 4) < 0.57 ? [60, 60, 60] : steel)

function greens(views: RolloutView[], from: number, to: number): number[] {
  const map = rollout(benchSurface, views, size)
  return Array.from({ length: columnOf(to) - columnOf(from) }, (_, i) => map.rgba[4 * (middleRow * size.width + columnOf(from) + i) + 1])
}

/** Runs of darkness, and how dark each gets. */
function darkRuns(values: number[], below: number): number[] {
  const runs: number[] = []
  let darkest = Number.POSITIVE_INFINITY
  for (const value of [...values, 255]) {
    if (value < below) darkest = Math.min(darkest, value)
    else if (darkest < Number.POSITIVE_INFINITY) {
      runs.push(darkest)
      darkest = Number.POSITIVE_INFINITY
    }
  }
  return runs
}

describe('seams between photographs', () => {
  it('a photograph that lies 2 degrees off leaves no ghosts: every line comes once, as dark as it is, but at a seam', () => {
    const views = [80, 120, 160].map((deg, i) => photograph(deg, lined(i === 1 ? 2 : 0)))
    const runs = darkRuns(greens(views, 64, 176), 118)
    // 14 lines in 112 degrees; one more or less at each of two seams
    expect(Math.abs(runs.length - 14)).toBeLessThanOrEqual(2)
    const faint = runs.filter((darkest) => darkest > 85)
    expect(faint.length).toBeLessThanOrEqual(2)
  })

  it('where a rag of another colour lies in the way, the photograph beside it shows the steel', () => {
    const rag = (deg: number, axial: number) => (deg > 95 && deg < 112 && axial > 12 && axial < 28 ? [50, 70, 140] : steel)
    const map = rollout(benchSurface, [photograph(80, () => steel), photograph(110, rag)], size)
    for (let deg = 90; deg < 118; deg += 2) {
      const at = 4 * (middleRow * size.width + columnOf(deg))
      for (let c = 0; c < 3; c++) expect(Math.abs(map.rgba[at + c] - 130)).toBeLessThan(14)
    }
  })

  it('where something dark is in the way of one and two others agree, these show the place', () => {
    const web = (deg: number) => (deg > 112 && deg < 128 ? [55, 55, 55] : steel)
    const views = [photograph(90, () => steel), photograph(120, web), photograph(150, () => steel)]
    for (const value of greens(views, 100, 140)) expect(Math.abs(value - 130)).toBeLessThan(20)
  })

  it('what a photograph shows alone stays, whatever its colour', () => {
    const map = rollout(benchSurface, [photograph(80, () => steel), photograph(200, () => [40, 60, 150])], size)
    const at = 4 * (middleRow * size.width + columnOf(200))
    expect([...map.rgba.slice(at, at + 4)]).toEqual([40, 60, 150, 255])
  })

  it('covers all that any photograph shows, an outline within it left out', () => {
    const hole = (u: number, v: number): [number, number][] => [
      [u - 60, v - 60],
      [u + 60, v - 60],
      [u + 60, v + 60],
      [u - 60, v + 60],
    ]
    const plain = [70, 105, 140, 175].map((deg) => photograph(deg, () => steel))
    const views = plain.map((view, i) => (i === 1 ? { ...view, ignore: [hole(800, 600)] } : view))
    const alone = views.map((view) => rollout(benchSurface, [view], size))
    const map = rollout(benchSurface, views, size)
    let lost = 0
    for (let at = 3; at < map.rgba.length; at += 4) if (map.rgba[at] === 0 && alone.some((one) => one.rgba[at] > 0)) lost++
    expect(lost).toBe(0)
  })

  it('most of the map comes from one photograph alone', () => {
    const job = rolloutJob(
      benchSurface,
      [60, 100, 140].map((deg) => rolloutPhoto(photograph(deg, () => steel))),
      size,
    )
    const { shares, columns, rows } = job.seams ?? { shares: [], columns: 0, rows: 0 }
    const row = Math.floor(rows / 2)
    let alone = 0
    for (let column = Math.ceil(columns / 9); column < (columns * 5) / 12; column++) {
      const here = shares.map((one) => one[row * columns + column])
      if (here.filter((share) => share > 0).length === 1) alone++
    }
    expect(alone).toBeGreaterThan(columns / 4)
  })
})
