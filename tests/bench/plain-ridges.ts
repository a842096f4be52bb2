/**
 * The plain method that suggested marks are compared with: ridges by the eigenvalues of the second derivatives at two scales (A. F. Frangi and others,
 * "Multiscale vessel enhancement filtering", 1998; beta 0.5, c half the greatest norm) on the mean map of all photographs, then hysteresis
 * over neighbouring pixels, each connected crest one line. Written from the paper.
 */
import { type LineGrid, mapPointAt } from '../../lib/trace/line-grid'
import type { LineStrip } from '../../lib/trace/line-strip'
import type { FoundLine } from './line-truth'

/** Lines with their mean strength as score, strongest first. `plain` of the strips: dark (or glowing) lines are positive. */
export function plainRidges(grid: LineGrid, radius: number, strips: readonly LineStrip[]): FoundLine[] {
  const mean = meanMap(grid, strips)
  const { columns, rows } = grid
  const strength = new Float32Array(mean.length)
  const angle = new Float32Array(mean.length)
  for (const sigma of [1.2, 2.2]) vesselness(mean, columns, rows, sigma, strength, angle)
  const sorted = Float32Array.from(strength).sort()
  const low = sorted[Math.floor(0.95 * sorted.length)]
  const high = sorted[Math.floor(0.985 * sorted.length)]
  return crests(grid, radius, strength, angle, low, high)
}

function meanMap(grid: LineGrid, strips: readonly LineStrip[]): Float32Array {
  const sum = new Float32Array(grid.columns * grid.rows)
  const count = new Float32Array(sum.length)
  for (const strip of strips) {
    for (let row = 0; row < strip.rows; row++) {
      for (let i = 0; i < strip.columns; i++) {
        if (!strip.seen[row * strip.columns + i]) continue
        const at = row * grid.columns + ((((strip.first + i) % grid.columns) + grid.columns) % grid.columns)
        sum[at] += strip.plain[row * strip.columns + i]
        count[at]++
      }
    }
  }
  return sum.map((value, i) => (count[i] > 0 ? value / count[i] : 0))
}

function vesselness(map: Float32Array, width: number, height: number, sigma: number, best: Float32Array, angle: Float32Array): void {
  const smooth = blurred(map, width, height, sigma)
  const at = (x: number, y: number) => smooth[Math.min(height - 1, Math.max(0, y)) * width + ((x + width) % width)]
  const xx = new Float32Array(map.length)
  const yy = new Float32Array(map.length)
  const xy = new Float32Array(map.length)
  let greatest = 0
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x
      xx[i] = sigma * sigma * (at(x - 1, y) - 2 * at(x, y) + at(x + 1, y))
      yy[i] = sigma * sigma * (at(x, y - 1) - 2 * at(x, y) + at(x, y + 1))
      xy[i] = (sigma * sigma * (at(x + 1, y + 1) - at(x - 1, y + 1) - at(x + 1, y - 1) + at(x - 1, y - 1))) / 4
      greatest = Math.max(greatest, Math.hypot(xx[i], yy[i], Math.SQRT2 * xy[i]))
    }
  }
  const c = greatest / 2
  for (let i = 0; i < map.length; i++) {
    const half = (xx[i] + yy[i]) / 2
    const root = Math.hypot((xx[i] - yy[i]) / 2, xy[i])
    const [small, large] = Math.abs(half + root) < Math.abs(half - root) ? [half + root, half - root] : [half - root, half + root]
    if (large >= 0) continue
    const blob = small / large
    const norm = Math.hypot(small, large)
    const value = Math.exp(-(blob * blob) / 0.5) * (1 - Math.exp(-(norm * norm) / (2 * c * c)))
    if (value <= best[i]) continue
    best[i] = value
    // the line runs along the eigenvector of the smaller eigenvalue
    angle[i] = 0.5 * Math.atan2(2 * xy[i], xx[i] - yy[i]) + (half + root === small ? 0 : Math.PI / 2)
  }
}

function blurred(map: Float32Array, width: number, height: number, sigma: number): Float32Array {
  const half = Math.ceil(3 * sigma)
  const taps = Array.from({ length: 2 * half + 1 }, (_, k) => Math.exp(-((k - half) ** 2) / (2 * sigma * sigma)))
  const sum = taps.reduce((a, b) => a + b, 0)
  const across = new Float32Array(map.length)
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let value = 0
      for (let k = -half; k <= half; k++) value += taps[k + half] * map[y * width + ((x + k + width) % width)]
      across[y * width + x] = value / sum
    }
  }
  const out = new Float32Array(map.length)
  for (let y = 0; y < height; y++) {
    for (let k = -half; k <= half; k++) {
      const row = Math.min(height - 1, Math.max(0, y + k)) * width
      const tap = taps[k + half] / sum
      for (let x = 0; x < width; x++) out[y * width + x] += tap * across[row + x]
    }
  }
  return out
}

/** Crest pixels above `low` that hang together with one above `high`, each chain walked from its one end to the other. */
function crests(grid: LineGrid, radius: number, strength: Float32Array, angle: Float32Array, low: number, high: number): FoundLine[] {
  const { columns, rows } = grid
  const at = (x: number, y: number) => (y < 0 || y >= rows ? 0 : strength[y * columns + ((x + columns) % columns)])
  const crest = new Uint8Array(strength.length)
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < columns; x++) {
      const i = y * columns + x
      if (strength[i] < low) continue
      const [nx, ny] = [Math.round(-Math.sin(angle[i])), Math.round(Math.cos(angle[i]))]
      if (strength[i] >= at(x + nx, y + ny) && strength[i] >= at(x - nx, y - ny)) crest[i] = 1
    }
  }
  const seen = new Uint8Array(strength.length)
  const lines: FoundLine[] = []
  for (let start = 0; start < crest.length; start++) {
    if (!crest[start] || seen[start] || strength[start] < high) continue
    const chain = [...walk(start, crest, seen, columns, rows).reverse(), start, ...walk(start, crest, seen, columns, rows)]
    if (chain.length < 16) continue
    let turns = 0
    const points = chain.map((i, k): [number, number] => {
      const x = i % columns
      if (k > 0) turns += Math.round(((chain[k - 1] % columns) - x) / columns)
      const { theta, s } = mapPointAt(grid, x + turns * columns, (i - x) / columns)
      return [theta * radius, s]
    })
    lines.push({ points, score: chain.reduce((sum, i) => sum + strength[i], 0) / chain.length })
  }
  return lines.sort((a, b) => b.score - a.score)
}

function walk(start: number, crest: Uint8Array, seen: Uint8Array, columns: number, rows: number): number[] {
  const chain: number[] = []
  let at = start
  seen[start] = 1
  for (;;) {
    const x = at % columns
    const y = (at - x) / columns
    let next = -1
    for (let dy = -1; dy <= 1 && next < 0; dy++) {
      for (let dx = -1; dx <= 1; dx++) {
        const [nx, ny] = [(x + dx + columns) % columns, y + dy]
        const i = ny * columns + nx
        if (ny < 0 || ny >= rows || !crest[i] || seen[i]) continue
        next = i
        break
      }
    }
    if (next < 0) return chain
    seen[next] = 1
    chain.push(next)
    at = next
  }
}
