/**
 * The cheapest way over a trace field from one tapped place to another (E. W. Dijkstra 1959, with a bucket queue after R. B. Dial 1969): the
 * tree grows outward from the first place only as far as it is asked for, so that a pointer that moves on costs little. Steps are measured
 * in mm of the metal, so that the way does not depend on how the map is shown.
 */
import type { TraceField } from './trace-field'

export type TraceTree = {
  field: TraceField
  from: number
  /** Cost of the cheapest way so far; infinite where none is known. */
  total: Float32Array
  /** The neighbour, 0 to 15, from which a pixel is reached; 255: not reached. */
  came: Uint8Array
  settled: Uint8Array
  buckets: number[][]
  /** The bucket that is looked at, and how many pixels wait. */
  bucket: number
  waiting: number
}

/** Eight neighbours, and eight a knight's move away, so that a slanted way is not dearer than a straight one. */
const stepsX = [1, -1, 0, 0, 1, 1, -1, -1, 2, 2, -2, -2, 1, -1, 1, -1]
const stepsY = [0, 0, 1, -1, 1, -1, 1, -1, 1, -1, 1, -1, 2, 2, -2, -2]
const bucketCount = 4096
const mostPixels = 600_000

export function traceFrom(field: TraceField, x: number, y: number): TraceTree {
  const size = field.width * field.height
  const from = placeAt(field, x, y)
  const tree: TraceTree = {
    field,
    from,
    total: new Float32Array(size).fill(Infinity),
    came: new Uint8Array(size).fill(255),
    settled: new Uint8Array(size),
    buckets: Array.from({ length: bucketCount }, () => []),
    bucket: 0,
    waiting: 1,
  }
  tree.total[from] = 0
  tree.buckets[0].push(from)
  return tree
}

/**
 * Pixels from the first place to this one, both included; x runs past the width where the way crosses the seam. Null where it lies beyond what
 * can be reached.
 */
export function traceTo(tree: TraceTree, x: number, y: number): { x: number; y: number }[] | null {
  const goal = placeAt(tree.field, x, y)
  grow(tree, goal, mostPixels)
  if (!tree.settled[goal]) return null
  const { width } = tree.field
  const back: [number, number][] = []
  let at = goal
  while (at !== tree.from) {
    const step = tree.came[at]
    back.push([stepsX[step], stepsY[step]])
    const column = at % width
    at = (((at - column) / width - stepsY[step]) * width + ((column - stepsX[step] + width) % width)) | 0
  }
  let px = tree.from % width
  let py = (tree.from - px) / width
  const path = [{ x: px, y: py }]
  for (const [dx, dy] of back.reverse()) {
    px += dx
    py += dy
    path.push({ x: px, y: py })
  }
  return path
}

/** Settles pixels until `goal` is one of them, or so many more are. */
export function grow(tree: TraceTree, goal: number | null, most: number): void {
  const { field, total, came, settled, buckets } = tree
  const { width, height, cost, stepAround, stepAlong } = field
  if (goal !== null && settled[goal]) return
  const unit = bucketUnit(field)
  let left = most
  while (tree.waiting > 0 && left > 0) {
    const list = buckets[tree.bucket % bucketCount]
    const at = list.pop()
    if (at === undefined) {
      tree.bucket++
      continue
    }
    tree.waiting--
    if (settled[at]) continue
    settled[at] = 1
    left--
    const x = at % width
    const y = (at - x) / width
    const around = stepAround[y]
    for (let k = 0; k < 16; k++) {
      const ny = y + stepsY[k]
      if (ny < 0 || ny >= height) continue
      let nx = x + stepsX[k]
      if (nx < 0) nx += width
      else if (nx >= width) nx -= width
      const to = ny * width + nx
      if (settled[to]) continue
      const dx = stepsX[k] * around
      const dy = stepsY[k] * stepAlong
      let price = cost[at] + cost[to]
      if (k >= 8) price = 0.5 * price + Math.max(cost[between(x, y, k, width, height)], 0.5 * price)
      const sum = total[at] + 0.5 * price * Math.sqrt(dx * dx + dy * dy)
      if (sum >= total[to]) continue
      total[to] = sum
      came[to] = k
      buckets[Math.floor(sum / unit) % bucketCount].push(to)
      tree.waiting++
    }
    if (at === goal) return
  }
}

/** The nearest pixel, within `reachMm`, that looks most like a line; the place itself where none does. */
export function snapped(field: TraceField, x: number, y: number, reachMm: number): { x: number; y: number } {
  const { width, height, lineness, stepAlong } = field
  const reach = Math.max(1, Math.round(reachMm / stepAlong))
  const [cx, cy] = [Math.round(x), Math.round(y)]
  let best = { x: cx, y: Math.min(height - 1, Math.max(0, cy)) }
  let worth = 24
  for (let dy = -reach; dy <= reach; dy++) {
    const py = cy + dy
    if (py < 0 || py >= height) continue
    for (let dx = -reach; dx <= reach; dx++) {
      const far = (dx * dx + dy * dy) / (reach * reach)
      if (far > 1) continue
      const value = lineness[py * width + ((((cx + dx) % width) + width) % width)] * (1 - 0.4 * far)
      if (value > worth) {
        worth = value
        best = { x: cx + dx, y: py }
      }
    }
  }
  return best
}

/** The pixel beside the middle of a knight's move, the nearer to the straight line of the two. */
function between(x: number, y: number, k: number, width: number, height: number): number {
  const mx = x + (Math.abs(stepsX[k]) === 2 ? stepsX[k] / 2 : 0)
  const my = y + (Math.abs(stepsY[k]) === 2 ? stepsY[k] / 2 : 0)
  return Math.min(height - 1, Math.max(0, my)) * width + ((mx + width) % width)
}

/** So wide that the dearest step fits into the ring of buckets. */
function bucketUnit({ stepAround, stepAlong }: TraceField): number {
  let widest = stepAlong
  for (const step of stepAround) if (step > widest) widest = step
  return (64 * 2.3 * widest) / (bucketCount - 2)
}

function placeAt({ width, height }: TraceField, x: number, y: number): number {
  const row = Math.min(height - 1, Math.max(0, Math.round(y)))
  return row * width + (((Math.round(x) % width) + width) % width)
}
