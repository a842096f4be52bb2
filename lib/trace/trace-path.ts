/**
 * The cheapest way over a trace field from one tapped place to another (E. W. Dijkstra 1959, with a bucket queue after R. B. Dial 1969): the
 * tree grows outward from the first place only as far as it is asked for, so that a pointer that moves on costs little. Steps are measured
 * in mm of the metal, so that the way does not depend on how the map is shown. A tap need not hit the line: the way may begin and end beside it, for a
 * price that grows with the square of the distance.
 */
import { measureAround, type TraceField } from './trace-field'
import { lineDirections } from './trace-lineness'

export type TraceTree = {
  field: TraceField
  from: number
  reachMm: number
  /** Cost of the cheapest way so far; infinite where none is known. */
  total: Float32Array
  /** The neighbour, 0 to 15, from which a pixel is reached; 254: a way begins here; 255: not reached. */
  came: Uint8Array
  settled: Uint8Array
  /** Half the mm of each step in each row, 16 a row. */
  halfSteps: Float32Array
  buckets: number[][]
  /** The bucket that is looked at, and how many pixels wait. */
  bucket: number
  waiting: number
}

/** Eight neighbours, and eight a knight's move away, so that a slanted way is not dearer than a straight one. */
const stepsX = [...lineDirections.map(([dx]) => dx), ...lineDirections.map(([dx]) => -dx)]
const stepsY = [...lineDirections.map(([, dy]) => dy), ...lineDirections.map(([, dy]) => -dy)]
const bucketCount = 4096
const mostPixels = 600_000
/** Price of beginning or ending beside a tap, for a square mm. */
const besidePrice = 300
const beginsHere = 254
/** Shorter ways are followed whatever they cost: their ends alone are dear, mm. */
const followedFromMm = 4

/** @param reachMm how far beside the place the way may begin; 0: there alone */
export function traceFrom(field: TraceField, x: number, y: number, reachMm: number): TraceTree {
  const size = field.width * field.height
  const tree: TraceTree = {
    field,
    from: placeAt(field, x, y),
    reachMm,
    total: new Float32Array(size).fill(Infinity),
    came: new Uint8Array(size).fill(255),
    settled: new Uint8Array(size),
    halfSteps: Float32Array.from(
      { length: 16 * field.height },
      (_, i) => 0.5 * Math.hypot(stepsX[i & 15] * field.stepAround[i >> 4], stepsY[i & 15] * field.stepAlong),
    ),
    buckets: Array.from({ length: bucketCount }, () => []),
    bucket: 0,
    waiting: 0,
  }
  const unit = bucketUnit(tree)
  for (const { at, price } of placesBeside(field, tree.from, reachMm)) {
    tree.total[at] = price
    tree.came[at] = beginsHere
    tree.buckets[Math.floor(price / unit)].push(at)
    tree.waiting++
  }
  return tree
}

/**
 * Pixels of the cheapest way from the first place to this one, or beside it as far as the first may be; x runs past the width where the way crosses
 * the seam. The two places alone where no way is cheaper than over bare steel, so that nothing is followed that is not there.
 */
export function traceTo(tree: TraceTree, x: number, y: number): { x: number; y: number }[] {
  const { field } = tree
  const { width } = field
  const goal = placeAt(field, x, y)
  const straight = straightWay(field, tree.from, goal)
  const end = cheapestEnd(
    tree,
    placesBeside(field, goal, tree.reachMm),
    straight.mm < followedFromMm ? Infinity : field.steelPrice * straight.mm,
  )
  if (end === null) return straight.way
  const back: [number, number][] = []
  let at = end
  while (tree.came[at] !== beginsHere) {
    const step = tree.came[at]
    back.push([stepsX[step], stepsY[step]])
    const column = at % width
    at = (((at - column) / width - stepsY[step]) * width + ((column - stepsX[step] + width) % width)) | 0
  }
  let px = at % width
  let py = (at - px) / width
  const path = [{ x: px, y: py }]
  for (const [dx, dy] of back.reverse()) {
    px += dx
    py += dy
    path.push({ x: px, y: py })
  }
  return path
}

type Beside = { at: number; price: number }

/** The tree grows until nothing that it could still settle would end cheaper; null where nothing ends cheaper than `most`. */
function cheapestEnd(tree: TraceTree, ends: readonly Beside[], most: number): number | null {
  const unit = bucketUnit(tree)
  let left = mostPixels
  for (;;) {
    let best: Beside | null = null
    for (const { at, price } of ends)
      if (tree.settled[at] && tree.total[at] + price < (best?.price ?? most)) best = { at, price: tree.total[at] + price }
    if (tree.bucket * unit >= (best?.price ?? most) || tree.waiting === 0 || left <= 0) return best?.at ?? null
    grow(tree, 400)
    left -= 400
  }
}

/** Settles so many pixels. */
function grow(tree: TraceTree, most: number): void {
  const { field, total, came, settled, halfSteps, buckets } = tree
  const { width, height, lineness, costOf } = field
  const unit = bucketUnit(tree)
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
    measureAround(field, x, y)
    for (let k = 0; k < 16; k++) {
      const ny = y + stepsY[k]
      if (ny < 0 || ny >= height) continue
      let nx = x + stepsX[k]
      if (nx < 0) nx += width
      else if (nx >= width) nx -= width
      const to = ny * width + nx
      if (settled[to]) continue
      // what counts is a line along the step itself
      const price = costOf[lineness[8 * at + (k & 7)]] + costOf[lineness[8 * to + (k & 7)]]
      const sum = total[at] + price * halfSteps[16 * y + k]
      if (sum >= total[to]) continue
      total[to] = sum
      came[to] = k
      buckets[Math.floor(sum / unit) % bucketCount].push(to)
      tree.waiting++
    }
  }
}

function straightWay({ width, stepAround, stepAlong }: TraceField, from: number, to: number) {
  const [x, toX] = [from % width, to % width]
  const [y, toY] = [(from - x) / width, (to - toX) / width]
  const across = toX - x - width * Math.round((toX - x) / width)
  const mm = Math.hypot(across * stepAround[(y + toY) >> 1], (toY - y) * stepAlong)
  return {
    mm,
    way: [
      { x, y },
      { x: x + across, y: toY },
    ],
  }
}

/** The pixels within reach of one, and the price of beginning or ending there. */
function placesBeside({ width, height, stepAlong }: TraceField, middle: number, reachMm: number): Beside[] {
  const reach = Math.floor(reachMm / stepAlong)
  const cx = middle % width
  const cy = (middle - cx) / width
  const places: Beside[] = []
  for (let dy = -reach; dy <= reach; dy++) {
    if (cy + dy < 0 || cy + dy >= height) continue
    for (let dx = -reach; dx <= reach; dx++) {
      const square = (dx * dx + dy * dy) * stepAlong * stepAlong
      if (square <= reachMm * reachMm) places.push({ at: (cy + dy) * width + ((cx + dx + width) % width), price: besidePrice * square })
    }
  }
  return places
}

/** So wide that the dearest step, and the dearest place to begin, fit into the ring of buckets. */
function bucketUnit({ field: { stepAround, stepAlong, costOf }, reachMm }: Pick<TraceTree, 'field' | 'reachMm'>): number {
  let widest = stepAlong
  for (const step of stepAround) if (step > widest) widest = step
  return Math.max(costOf[0] * 2.3 * widest, besidePrice * reachMm * reachMm) / (bucketCount - 2)
}

function placeAt({ width, height }: TraceField, x: number, y: number): number {
  const row = Math.min(height - 1, Math.max(0, Math.round(y)))
  return row * width + (((Math.round(x) % width) + width) % width)
}
