/** The rollout's inner loops in plain TypeScript: what `warp-kernel.as` does with SIMD, with real numbers in place of fixed point. */
import type { HeldPicture, Kernel, MapPixels, Sampling, Sums } from './kernel'
import { checkPicture, halved, type Picture } from './picture'
import { cellSize, nodeSize, type WarpPlan } from './warp-plan'

export const plainKernel: Kernel = {
  hold: (picture) => new PlainPicture(checkPicture(picture)),
  sums: (width, rows, wantSources) => new PlainSums(width, rows, wantSources),
}

class PlainPicture implements HeldPicture {
  private readonly levels: Picture[]
  readonly width: number
  readonly height: number

  constructor(picture: Picture) {
    this.levels = [picture]
    this.width = picture.width
    this.height = picture.height
  }

  level(halvings: number): Picture {
    while (this.levels.length <= halvings) this.levels.push(halved(this.levels[this.levels.length - 1]))
    return this.levels[halvings]
  }

  release(): void {
    this.levels.length = 0
  }
}

class PlainSums implements Sums {
  empty = true
  private readonly sums: Float32Array
  private readonly strongest: Float32Array | null
  private readonly sources: Uint8Array | null

  constructor(
    readonly width: number,
    readonly rows: number,
    wantSources: boolean,
  ) {
    this.sums = new Float32Array(width * rows * 4)
    this.strongest = wantSources ? new Float32Array(width * rows) : null
    this.sources = wantSources ? new Uint8Array(width * rows) : null
  }

  add(picture: HeldPicture, { nodes, cells, count }: WarpPlan, sampling: Sampling, index: number): void {
    if (!(picture instanceof PlainPicture)) throw new Error('a picture of another kernel')
    if (count > 0) this.empty = false
    const fractions = new Float32Array(cells.buffer, cells.byteOffset, cells.length)
    for (let at = 0; at < count * cellSize; at += cellSize) {
      const [column, row, columns, rows, node, right, down, mixed, level, tapsAround, tapsAlong] = cells.subarray(at, at + 11)
      const [perRow, perColumn] = fractions.subarray(at + 11, at + 13)
      const a = node * nodeSize
      const b = a + right * nodeSize
      const shrink = 1 / (1 << level)
      const read = picture.level(level)
      const sample = tapsAround * tapsAlong > 1 ? averageAt : sampling === 'bicubic' ? cubicAt : linearAt
      for (let y = 0; y < rows; y++) {
        const t = y * perRow
        for (let k = 0; k < 7; k++) {
          start[k] = nodes[a + k] + t * (nodes[a + down * nodeSize + k] - nodes[a + k])
          step[k] = (nodes[b + k] + t * (nodes[b + down * nodeSize + k] - nodes[b + k]) - start[k]) * perColumn
        }
        spans.around = [step[4] * shrink, step[5] * shrink, tapsAround]
        spans.along = [4, 5].map((k) => (nodes[a + down * nodeSize + k] - nodes[a + k]) * perRow * shrink).concat(tapsAlong) as Span
        for (let x = 0; x < columns; x++) {
          const u = (start[4] + x * step[4]) * shrink
          const v = (start[5] + x * step[5]) * shrink
          if (mixed && (start[6] + x * step[6] <= 0 || u <= 0 || v <= 0 || u >= read.width || v >= read.height)) continue
          sample(read, u - 0.5, v - 0.5)
          this.put((row + y) * this.width + column + x, x, index)
        }
      }
    }
  }

  private put(at: number, x: number, index: number): void {
    for (let c = 0; c < 3; c++) this.sums[4 * at + c] += (start[c] + x * step[c]) * sampled[c]
    const weight = start[3] + x * step[3]
    this.sums[4 * at + 3] += weight
    if (this.strongest && this.sources && weight > this.strongest[at]) {
      this.strongest[at] = weight
      this.sources[at] = index
    }
  }

  settle(rows: number, columns: number, { width, rgba, sources }: MapPixels, at: number): void {
    for (let row = 0; row < rows; row++) {
      for (let column = 0; column < columns; column++) {
        const from = row * this.width + column
        const to = at + row * width + column
        const weight = this.sums[4 * from + 3]
        if (weight <= 0) continue
        for (let c = 0; c < 3; c++) rgba[4 * to + c] = this.sums[4 * from + c] / weight
        rgba[4 * to + 3] = 255
        if (sources && this.sources) sources[to] = this.sources[from]
      }
    }
    this.sums.fill(0)
    this.strongest?.fill(0)
    this.empty = true
  }

  alone(
    picture: HeldPicture,
    plan: WarpPlan,
    sampling: Sampling,
    index: number,
    rows: number,
    columns: number,
    map: MapPixels,
    at: number,
  ): void {
    for (let row = 0; row < rows; row++) {
      const from = at + row * map.width
      map.rgba.fill(0, 4 * from, 4 * (from + columns))
      map.sources?.fill(255, from, from + columns)
    }
    this.add(picture, plan, sampling, index)
    this.settle(rows, columns, map, at)
  }

  release(): void {}
}

/** Change of u and v over the span of a map pixel, and taps along it. */
type Span = [number, number, number]

const start = new Float64Array(7)
const step = new Float64Array(7)
const sampled = new Float64Array(3)
const spans: { around: Span; along: Span } = { around: [0, 0, 1], along: [0, 0, 1] }

function linearAt(picture: Picture, x: number, y: number): void {
  sampled.fill(0)
  addLinear(picture, x, y, 1)
}

function addLinear({ data, channels, width, height }: Picture, x: number, y: number, share: number): void {
  const held = Math.min(width - 1, Math.max(0, x))
  const heldY = Math.min(height - 1, Math.max(0, y))
  const left = held | 0
  const top = heldY | 0
  const fx = held - left
  const fy = heldY - top
  const p = (top * width + left) * channels
  const q = left + 1 < width ? p + channels : p
  const below = top + 1 < height ? width * channels : 0
  for (let c = 0; c < 3; c++) {
    const above = data[p + c] * (1 - fx) + data[q + c] * fx
    const under = data[p + below + c] * (1 - fx) + data[q + below + c] * fx
    sampled[c] += share * (above * (1 - fy) + under * fy)
  }
}

function averageAt(picture: Picture, x: number, y: number): void {
  sampled.fill(0)
  const [du, dv, tapsAround] = spans.around
  const [su, sv, tapsAlong] = spans.along
  for (let a = 0; a < tapsAround; a++) {
    const around = (a + 0.5) / tapsAround - 0.5
    for (let b = 0; b < tapsAlong; b++) {
      const along = (b + 0.5) / tapsAlong - 0.5
      addLinear(picture, x + around * du + along * su, y + around * dv + along * sv, 1 / (tapsAround * tapsAlong))
    }
  }
}

const across = new Float64Array(4)
const downward = new Float64Array(4)

function cubicAt({ data, channels, width, height }: Picture, x: number, y: number): void {
  const held = Math.min(width - 1, Math.max(0, x))
  const heldY = Math.min(height - 1, Math.max(0, y))
  const left = held | 0
  const top = heldY | 0
  cubicWeights(held - left, across)
  cubicWeights(heldY - top, downward)
  sampled.fill(0)
  for (let j = 0; j < 4; j++) {
    const row = Math.min(height - 1, Math.max(0, top + j - 1)) * width
    for (let i = 0; i < 4; i++) {
      const p = (row + Math.min(width - 1, Math.max(0, left + i - 1))) * channels
      const weight = across[i] * downward[j]
      for (let c = 0; c < 3; c++) sampled[c] += weight * data[p + c]
    }
  }
}

/** Weights of the four samples around a place `t` of the way from the second to the third (Keys 1981, a = -1/2). They add to 1. */
export function cubicWeights(t: number, out: Float64Array): void {
  out[0] = ((2 - t) * t - 1) * t * 0.5
  out[1] = ((3 * t - 5) * t * t + 2) * 0.5
  out[2] = ((4 - 3 * t) * t + 1) * t * 0.5
  out[3] = (t - 1) * t * t * 0.5
}
