/**
 * Follows the crests of the line evidence: from the strongest place outwards both ways, two places a step, within 60 degrees of where it
 * was going (hysteresis in the manner of Canny 1986: it begins high and goes on lower), over gaps of up to half a mm.
 */
import { directions, type LineEvidence } from './line-evidence'
import { wrappedColumn } from './line-grid'

export type RidgePath = { points: { x: number; y: number }[]; heights: number[] }

/** `tailShare`: ends lower than this share of a path's median height are cut off. */
export type RidgeLimits = { begin: number; goOn: number; leastPlaces: number; tailShare: number }

const stepPlaces = 2
const turns = [-1.05, -0.79, -0.52, -0.26, 0, 0.26, 0.52, 0.79, 1.05]
const gapSteps = 4
/** A path that comes upon another goes on beyond it where it comes out again within so many steps: lines of a net cross. */
const crossingSteps = 4

/** Strongest seeds first. Places of the grid; x may run past the turn by the path's own length. */
export function ridgePaths(evidence: LineEvidence, limits: RidgeLimits): RidgePath[] {
  const { columns, rows, height, direction } = evidence
  const taken = new Uint8Array(height.length)
  const seeds: number[] = []
  for (let i = 0; i < height.length; i++) if (height[i] >= limits.begin && isCrest(evidence, i)) seeds.push(i)
  seeds.sort((a, b) => height[b] - height[a])
  const paths: RidgePath[] = []
  for (const seed of seeds) {
    if (taken[seed]) continue
    const x = seed % columns
    const y = (seed - x) / columns
    const angle = (direction[seed] * Math.PI) / directions
    const forth = follow(evidence, taken, x, y, angle, limits.goOn)
    // so that the other way does not come back along this one
    markTaken(taken, columns, rows, forth)
    const back = follow(evidence, taken, x, y, angle + Math.PI, limits.goOn)
    const points = [...back.reverse(), { x, y }, ...forth]
    markTaken(taken, columns, rows, points)
    const heights = points.map((point) => heightAt(evidence, point.x, point.y))
    const path = trimmed({ points, heights }, limits.tailShare)
    if (path.points.length * stepPlaces >= limits.leastPlaces) paths.push(path)
  }
  return paths
}

/** Less its ends where they are far lower than the path: what was followed there is noise beside a clear line. */
function trimmed({ points, heights }: RidgePath, tailShare: number): RidgePath {
  const middle = [...heights].sort((a, b) => a - b)[heights.length >> 1]
  let [first, last] = [0, heights.length - 1]
  while (first < last && heights[first] < tailShare * middle) first++
  while (last > first && heights[last] < tailShare * middle) last--
  return { points: points.slice(first, last + 1), heights: heights.slice(first, last + 1) }
}

export function heightAt({ columns, rows, height }: LineEvidence, x: number, y: number): number {
  const row = Math.round(y)
  if (row < 0 || row >= rows) return 0
  const column = Math.round(x) % columns
  return height[row * columns + (column < 0 ? column + columns : column)]
}

function isCrest(evidence: LineEvidence, i: number): boolean {
  const { columns, height, direction } = evidence
  const x = i % columns
  const y = (i - x) / columns
  const angle = (direction[i] * Math.PI) / directions
  const dx = -Math.sin(angle)
  const dy = Math.cos(angle)
  return height[i] >= heightAt(evidence, x + dx, y + dy) && height[i] >= heightAt(evidence, x - dx, y - dy)
}

function follow(evidence: LineEvidence, taken: Uint8Array, x: number, y: number, angle: number, goOn: number): { x: number; y: number }[] {
  const { columns, rows, direction } = evidence
  const points: { x: number; y: number }[] = []
  let heading = angle
  let low = 0
  let sound = 0
  let crossing = 0
  for (let step = 0; step < 4000; step++) {
    let best = -Infinity
    let [bestX, bestY, bestTurn] = [0, 0, 0]
    for (const turn of turns) {
      const nx = x + stepPlaces * Math.cos(heading + turn)
      const ny = y + stepPlaces * Math.sin(heading + turn)
      const row = Math.round(ny)
      if (row < 0 || row >= rows) continue
      const column = wrappedColumn(columns, Math.round(nx))
      const own = direction[row * columns + column] * (Math.PI / directions)
      const off = heading + turn - own
      const lean = Math.abs(off - Math.PI * Math.round(off / Math.PI))
      const worth = heightAt(evidence, nx, ny) - 0.5 * turn * turn - 1.2 * Math.max(0, lean - 0.3)
      if (worth > best) {
        best = worth
        bestX = nx
        bestY = ny
        bestTurn = turn
      }
    }
    if (best === -Infinity) break
    const column = wrappedColumn(columns, Math.round(bestX))
    const within = taken[Math.round(bestY) * columns + column] === 1
    crossing = within ? crossing + 1 : 0
    if (crossing > crossingSteps) break
    if (heightAt(evidence, bestX, bestY) < goOn) {
      low++
      if (low > gapSteps) break
    } else {
      low = 0
    }
    x = bestX
    y = bestY
    heading += 0.7 * bestTurn
    points.push({ x, y })
    if (low === 0 && !within) sound = points.length
    if (points.length > 8 && closesOnItself(points, x, y)) break
  }
  return points.slice(0, sound)
}

function closesOnItself(points: readonly { x: number; y: number }[], x: number, y: number): boolean {
  for (let i = 0; i < points.length - 6; i++) if ((points[i].x - x) ** 2 + (points[i].y - y) ** 2 < 6) return true
  return false
}

function markTaken(taken: Uint8Array, columns: number, rows: number, points: readonly { x: number; y: number }[]): void {
  for (const { x, y } of points) {
    for (let dy = -2; dy <= 2; dy++) {
      const row = Math.round(y) + dy
      if (row < 0 || row >= rows) continue
      for (let dx = -2; dx <= 2; dx++) taken[row * columns + wrappedColumn(columns, Math.round(x) + dx)] = 1
    }
  }
}
