/**
 * What is measured of a candidate line before it is judged: how high it stands in the evidence and how evenly, its profile straightened out
 * (a crack is thin and alike on both sides, a stain's edge is not), how rough its way is (a crack is jagged, a fibre smooth), in how many of
 * the photographs that see the place it is seen, and what lies around it. All lengths in mm.
 */
import type { LineEvidence } from './line-evidence'
import { type LineGrid, linePlacesPerMm, wrappedColumn } from './line-grid'
import type { LineStrip } from './line-strip'
import { darknessAlong, deviation, lengthOf, mean, normalsOf, smoothedPath, wanderOf } from './path-shape'
import { heightAt, type RidgePath } from './ridge-path'

export const featureNames = [
  'lengthMm',
  'meanHeight',
  'lowHeight',
  'topShare',
  'contrast',
  'contrastSpread',
  'aroundShare',
  'straightness',
  'roughnessMm',
  'turnPerMm',
  'bend',
  'depth',
  'asymmetry',
  'width',
  'wideDepth',
  'photosSeeing',
  'photosAgreeing',
  'agreeShare',
  'photoSpread',
  'fromEndMm',
  'rimShare',
  'nearLength',
  'nearParallel',
  'nearHeight',
  'layAround',
  'besideHeight',
  'besideTop',
  'wanderMm',
  'slowSpread',
  'endShare',
] as const
export type Features = Float64Array

export type Scene = {
  grid: LineGrid
  evidence: LineEvidence
  strips: readonly LineStrip[]
  /** Darkness of the strips in the mean, lay left in; 0 where nothing is seen. */
  mean: Float32Array
  /** Distance in mm from a place to the nearest hole's rim (negative within), 99 where there is none near. */
  rimDistance: (x: number, y: number) => number
}

export function meanDarkness(grid: LineGrid, strips: readonly LineStrip[]): Float32Array {
  const sum = new Float32Array(grid.columns * grid.rows)
  const count = new Float32Array(sum.length)
  for (const strip of strips) {
    for (let row = 0; row < grid.rows; row++) {
      for (let i = 0; i < strip.columns; i++) {
        const at = row * strip.columns + i
        if (!strip.seen[at]) continue
        const column = wrappedColumn(grid.columns, strip.first + i)
        sum[row * grid.columns + column] += strip.plain[at]
        count[row * grid.columns + column]++
      }
    }
  }
  for (let i = 0; i < sum.length; i++) if (count[i] > 0) sum[i] /= count[i]
  return sum
}

export function featuresOf(scene: Scene, paths: readonly RidgePath[]): Features[] {
  const near = nearnessOf(paths, scene.grid.columns)
  return paths.map((path, index) => featuresOfPath(scene, path, near(index)))
}

function featuresOfPath(scene: Scene, path: RidgePath, near: { length: number; parallel: number; height: number }): Features {
  const { grid } = scene
  const points = centred(scene.evidence, path.points)
  const lengthMm = lengthOf(points) / linePlacesPerMm
  const heights = path.heights
  const sorted = [...heights].sort((a, b) => a - b)
  const meanHeight = mean(heights)
  const contrasts = points.map(({ x, y }) => contrastAt(scene.evidence, x, y))
  const contrast = mean(contrasts)
  const smooth = smoothedPath(points, 5)
  const normals = normalsOf(smooth)
  const rough = mean(points.map((p, i) => Math.abs((p.x - smooth[i].x) * normals[i].x + (p.y - smooth[i].y) * normals[i].y)))
  let [cos2, sin2, turn, bend] = [0, 0, 0, 0]
  for (let i = 1; i < smooth.length; i++) {
    const angle = Math.atan2(smooth[i].y - smooth[i - 1].y, smooth[i].x - smooth[i - 1].x)
    cos2 += Math.cos(2 * angle)
    sin2 += Math.sin(2 * angle)
    if (i > 1) {
      const before = Math.atan2(smooth[i - 1].y - smooth[i - 2].y, smooth[i - 1].x - smooth[i - 2].x)
      const by = angle - before - 2 * Math.PI * Math.round((angle - before) / (2 * Math.PI))
      turn += Math.abs(by)
      bend += by
    }
  }
  const first = points[0]
  const last = points[points.length - 1]
  const profile = profileOf(scene, smooth, points, normals)
  const photos = photosOf(scene, points, normals)
  const beside = besideOf(scene.evidence, smooth, normals)
  const fromEnd = Math.min(...points.map(({ y }) => Math.min(y, grid.rows - 1 - y))) / linePlacesPerMm
  const rim = mean(points.map(({ x, y }) => (Math.abs(scene.rimDistance(x, y)) < 0.8 ? 1 : 0)))
  return Float64Array.of(
    lengthMm,
    meanHeight,
    sorted[Math.floor(sorted.length * 0.2)],
    sorted[sorted.length - 1] / Math.max(0.1, meanHeight),
    contrast,
    deviation(contrasts) / Math.max(1e-4, contrast),
    0.5 + (0.5 * cos2) / Math.max(1, smooth.length - 1),
    Math.hypot(last.x - first.x, last.y - first.y) / Math.max(1, lengthMm * linePlacesPerMm),
    rough / linePlacesPerMm,
    turn / Math.max(0.2, lengthMm),
    Math.abs(bend) / Math.max(0.3, turn),
    profile.depth,
    profile.asymmetry,
    profile.width,
    profile.wide,
    photos.seeing,
    photos.agreeing,
    photos.agreeing / Math.max(1, photos.seeing),
    photos.spread,
    fromEnd,
    rim,
    near.length,
    near.parallel,
    near.height,
    Math.hypot(cos2, sin2) / Math.max(1, smooth.length - 1),
    beside.mean,
    beside.top,
    wanderOf(points, normals) / linePlacesPerMm,
    ...darknessAlong(contrasts),
  )
}

/** The path moved sideways onto the crest to a part of a place. */
export function centred(evidence: LineEvidence, points: readonly { x: number; y: number }[]): { x: number; y: number }[] {
  const normals = normalsOf(smoothedPath(points, 2))
  return points.map(({ x, y }, i) => {
    const n = normals[i]
    let [sum, weight] = [0, 0]
    for (let k = -2; k <= 2; k++) {
      const height = Math.max(0, heightBetween(evidence, x + k * n.x, y + k * n.y))
      sum += k * height * height
      weight += height * height
    }
    const by = weight > 0 ? sum / weight : 0
    return { x: x + by * n.x, y: y + by * n.y }
  })
}

function heightBetween(evidence: LineEvidence, x: number, y: number): number {
  const x0 = Math.floor(x)
  const y0 = Math.floor(y)
  const tx = x - x0
  const ty = y - y0
  const top = heightAt(evidence, x0, y0) * (1 - tx) + heightAt(evidence, x0 + 1, y0) * tx
  const low = heightAt(evidence, x0, y0 + 1) * (1 - tx) + heightAt(evidence, x0 + 1, y0 + 1) * tx
  return top * (1 - ty) + low * ty
}

function contrastAt({ columns, rows, contrast }: LineEvidence, x: number, y: number): number {
  const row = Math.round(y)
  if (row < 0 || row >= rows) return 0
  return contrast[row * columns + wrappedColumn(columns, Math.round(x))]
}

/** Darkness across the line in the mean of all photographs, the line laid straight. */
function profileOf(
  { grid, mean: dark }: Scene,
  smooth: readonly { x: number; y: number }[],
  points: readonly { x: number; y: number }[],
  normals: readonly { x: number; y: number }[],
) {
  const half = 12
  const profile = new Float64Array(2 * half + 1)
  for (let i = 0; i < points.length; i++) {
    // the jags are followed near the line, its smoothed way tells the sides
    for (let k = -half; k <= half; k++) {
      const base = Math.abs(k) <= 5 ? points[i] : smooth[i]
      const row = Math.min(grid.rows - 1, Math.max(0, Math.round(base.y + k * normals[i].y)))
      const column = wrappedColumn(grid.columns, Math.round(base.x + k * normals[i].x))
      profile[k + half] += dark[row * grid.columns + column] / points.length
    }
  }
  const at = (from: number, to: number) => {
    let sum = 0
    for (let k = from; k <= to; k++) sum += profile[k + half]
    return sum / (to - from + 1)
  }
  const peak = Math.max(at(-1, 1), profile[half])
  const [left, right] = [at(-8, -4), at(4, 8)]
  const depth = peak - (left + right) / 2
  let area = 0
  for (let k = -4; k <= 4; k++) area += Math.max(0, profile[k + half] - (left + right) / 2)
  return {
    depth,
    asymmetry: Math.abs(left - right) / Math.max(1e-3, depth),
    width: area / Math.max(1e-3, depth) / linePlacesPerMm,
    wide: (left + right) / 2 - (at(-12, -9) + at(9, 12)) / 2,
  }
}

/** How lively the evidence is 0.6 to 2 mm aside: in a fingerprint or among specks of rust it is. */
function besideOf(evidence: LineEvidence, smooth: readonly { x: number; y: number }[], normals: readonly { x: number; y: number }[]) {
  const heights: number[] = []
  for (let i = 0; i < smooth.length; i += 2) {
    for (let k = 10; k <= 32; k++) {
      for (const side of [-k, k]) heights.push(heightAt(evidence, smooth[i].x + side * normals[i].x, smooth[i].y + side * normals[i].y))
    }
  }
  heights.sort((a, b) => a - b)
  return { mean: mean(heights), top: heights[Math.floor(heights.length * 0.95)] ?? 0 }
}

/** In how many photographs the place is seen, in how many the line stands out of its sides there by two standard errors. */
function photosOf({ grid, strips }: Scene, points: readonly { x: number; y: number }[], normals: readonly { x: number; y: number }[]) {
  let [seeing, agreeing] = [0, 0]
  const depths: number[] = []
  for (const strip of strips) {
    let [count, sum, square] = [0, 0, 0]
    const shift = strip.first + strip.columns / 2 - points[0].x
    const turn = Math.round(shift / grid.columns) * grid.columns
    let best = -Infinity
    let bestError = 1
    for (let off = -1; off <= 1; off++) {
      count = 0
      sum = 0
      square = 0
      for (let i = 0; i < points.length; i++) {
        const x = points[i].x + turn - strip.first + off * normals[i].x
        const y = points[i].y + off * normals[i].y
        const on = darkAt(strip, x, y)
        const left = darkAt(strip, x - 4 * normals[i].x, y - 4 * normals[i].y)
        const right = darkAt(strip, x + 4 * normals[i].x, y + 4 * normals[i].y)
        if (on === null || left === null || right === null) continue
        const depth = on - (left + right) / 2
        sum += depth
        square += depth * depth
        count++
      }
      if (count < 0.6 * points.length || count < 5) break
      const depth = sum / count
      if (depth > best) {
        best = depth
        bestError = Math.sqrt(Math.max(1e-8, square / count - depth * depth) / count)
      }
    }
    if (best === -Infinity) continue
    seeing++
    depths.push(best)
    if (best > 0.006 && best > 2.5 * bestError) agreeing++
  }
  return { seeing, agreeing, spread: depths.length > 1 ? deviation(depths) / Math.max(1e-3, Math.abs(mean(depths))) : 0 }
}

function darkAt(strip: LineStrip, x: number, y: number): number | null {
  const column = Math.round(x)
  const row = Math.round(y)
  if (column < 0 || row < 0 || column >= strip.columns || row >= strip.rows) return null
  const at = row * strip.columns + column
  return strip.seen[at] ? strip.lines[at] : null
}

/** Length of other candidates within 3 mm, of those among them that run alike, and the highest of them. */
function nearnessOf(paths: readonly RidgePath[], columns: number) {
  const cell = 3 * linePlacesPerMm
  const cells = new Map<string, { path: number; x: number; y: number; angle: number; height: number }[]>()
  const across = Math.ceil(columns / cell)
  paths.forEach((path, index) => {
    for (let i = 1; i < path.points.length; i++) {
      const [a, b] = [path.points[i - 1], path.points[i]]
      const x = wrappedColumn(columns, b.x)
      const key = `${Math.floor(x / cell)},${Math.floor(b.y / cell)}`
      const list = cells.get(key) ?? []
      if (list.length === 0) cells.set(key, list)
      list.push({ path: index, x, y: b.y, angle: Math.atan2(b.y - a.y, b.x - a.x), height: path.heights[i] })
    }
  })
  return (index: number) => {
    const { points } = paths[index]
    const middle = points[points.length >> 1]
    const ends = [points[Math.floor(points.length * 0.15)], middle, points[Math.floor(points.length * 0.85)]]
    const angle = Math.atan2(ends[2].y - ends[0].y, ends[2].x - ends[0].x)
    let [length, parallel, height] = [0, 0, 0]
    for (const { x: px, y } of ends) {
      const x = wrappedColumn(columns, px)
      for (let cy = Math.floor(y / cell) - 1; cy <= Math.floor(y / cell) + 1; cy++) {
        for (let dx = -1; dx <= 1; dx++) {
          const cx = (Math.floor(x / cell) + dx + across) % across
          for (const other of cells.get(`${cx},${cy}`) ?? []) {
            if (other.path === index) continue
            const off = Math.abs(other.x - x)
            if (Math.min(off, columns - off) ** 2 + (other.y - y) ** 2 > cell * cell) continue
            length++
            const lean = other.angle - angle
            if (Math.abs(Math.sin(lean)) < 0.35) parallel++
            height = Math.max(height, other.height)
          }
        }
      }
    }
    const mm = 2 / linePlacesPerMm / 3
    return { length: length * mm, parallel: parallel * mm, height }
  }
}
