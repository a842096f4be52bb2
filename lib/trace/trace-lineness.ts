/**
 * Line-ness of a map in eight directions, square by square: brightness is averaged over 0.6 mm along each direction and compared with both sides
 * (the weaker one counts, so that an edge is no line), in standard deviations of what that direction shows in the square: the lay of
 * grinding is lively along itself and damps itself there. Neither the view nor the exposure matters.
 */
import { unknownGrey } from './trace-grey'

/** The eight directions, without a sense, as steps of pixels: a way over the map takes these and their reverse. */
export const lineDirections = [
  [1, 0],
  [2, 1],
  [1, 1],
  [1, 2],
  [0, 1],
  [-1, 2],
  [-1, 1],
  [-2, 1],
] as const
export const squareSide = 32

export type LinenessTask = {
  smooth: Float32Array
  width: number
  height: number
  squaresAcross: number
  measured: Uint8Array
  /** Places averaged along each direction, their weights (sum 1), and how far aside its sides lie: columns and rows. */
  along: readonly { dx: number; dy: number }[][]
  weights: readonly number[]
  aside: readonly { dx: number; dy: number }[]
  margin: number
  /** Least deviation of each direction, in units of the plane. */
  leastNoise: Float64Array
}

/** A line's middle and its sides are compared this far apart; it is averaged so far to either end, with this deviation, mm. */
const sideMm = 0.22
const reachMm = 0.29
const sigmaMm = 0.21
/** A square in which hardly anything stirs is judged by this share of what is usual on the map. */
const evenShare = 0.4

export function linenessTask(smooth: Float32Array, width: number, height: number, stepMm: number): LinenessTask {
  const side = Math.max(1, sideMm / stepMm)
  const reach = Math.max(1, Math.round(reachMm / stepMm))
  const sigma = sigmaMm / stepMm
  const unit = lineDirections.map(([dx, dy]) => [dx / Math.hypot(dx, dy), dy / Math.hypot(dx, dy)])
  // every second place does: the plane is smoothed over three
  const steps = Array.from({ length: 2 * Math.floor(reach / 2) + 1 }, (_, k) => 2 * (k - Math.floor(reach / 2)))
  const raw = steps.map((t) => Math.exp((-t * t) / (2 * sigma * sigma)))
  const total = raw.reduce((sum, weight) => sum + weight, 0)
  const task: LinenessTask = {
    smooth,
    width,
    height,
    squaresAcross: Math.ceil(width / squareSide),
    measured: new Uint8Array(Math.ceil(width / squareSide) * Math.ceil(height / squareSide)),
    along: unit.map(([c, s]) => steps.map((t) => ({ dx: Math.round(t * c), dy: Math.round(t * s) }))),
    weights: raw.map((weight) => weight / total),
    aside: unit.map(([c, s]) => ({ dx: Math.round(-s * side), dy: Math.round(c * side) })),
    margin: reach + Math.ceil(side) + 1,
    leastNoise: new Float64Array(lineDirections.length),
  }
  for (let k = 0; k < lineDirections.length; k++) task.leastNoise[k] = Math.max(0.004, evenShare * usualDeviation(task, k))
  return task
}

/** Fills in the lineness of one square, eight values a pixel, if it has not been. */
export function measureSquare(task: LinenessTask, lineness: Uint8Array, squareX: number, squareY: number): void {
  const { width, height, squaresAcross, measured, margin } = task
  const square = squareY * squaresAcross + squareX
  if (measured[square]) return
  measured[square] = 1
  const left = squareX * squareSide
  const top = squareY * squareSide
  const columns = Math.min(squareSide, width - left)
  const rows = Math.min(squareSide, height - top)
  const across = columns + 2 * margin
  const part = partOf(task, left - margin, top - margin, across, rows + 2 * margin)
  const average = new Float32Array(part.length)
  const strength = new Float32Array(columns * rows)
  for (let k = 0; k < lineDirections.length; k++) {
    averageAlong(task, k, part, across, rows + 2 * margin, average)
    const { dx, dy } = task.aside[k]
    const aside = dy * across + dx
    for (let y = 0; y < rows; y++) {
      for (let x = 0; x < columns; x++) {
        const i = (y + margin) * across + x + margin
        // what is partly unknown lies far below and is no line
        strength[y * columns + x] = average[i] < unknownGrey / 50 ? 0 : Math.min(average[i - aside], average[i + aside]) - average[i]
      }
    }
    const scale = 16 / Math.max(task.leastNoise[k], deviationOf(strength, task.leastNoise[k] / 16))
    for (let y = 0; y < rows; y++) {
      for (let x = 0; x < columns; x++) {
        const value = strength[y * columns + x] * scale
        if (value > 0) lineness[8 * ((top + y) * width + left + x) + k] = Math.min(255, value)
      }
    }
  }
}

/** A part of the plane; columns wrap, rows beyond the map repeat the last. */
function partOf({ smooth, width, height }: LinenessTask, left: number, top: number, across: number, down: number): Float32Array {
  const part = new Float32Array(across * down)
  for (let y = 0; y < down; y++) {
    const row = Math.min(height - 1, Math.max(0, top + y)) * width
    for (let x = 0; x < across; x++) part[y * across + x] = smooth[row + ((((left + x) % width) + width) % width)]
  }
  return part
}

function averageAlong(task: LinenessTask, k: number, part: Float32Array, across: number, down: number, into: Float32Array): void {
  const { weights } = task
  const offsets = task.along[k].map(({ dx, dy }) => dy * across + dx)
  const edge = weights.length - 1
  for (let y = edge; y < down - edge; y++) {
    for (let i = y * across + edge; i < (y + 1) * across - edge; i++) {
      let sum = 0
      for (let t = 0; t < offsets.length; t++) sum += weights[t] * part[i + offsets[t]]
      into[i] = sum
    }
  }
}

/** Of a sample of places all over the map. */
function usualDeviation({ smooth, width, height, along, weights, aside }: LinenessTask, k: number): number {
  const at = (x: number, y: number) => smooth[Math.min(height - 1, Math.max(0, y)) * width + ((((x % width) + width) % width) | 0)]
  const averageAt = (x: number, y: number) => along[k].reduce((sum, { dx, dy }, t) => sum + weights[t] * at(x + dx, y + dy), 0)
  const strength = new Float32Array(1500)
  const { dx, dy } = aside[k]
  // places spread evenly without a grid's regularity: multiples of the golden section
  for (let n = 0; n < strength.length; n++) {
    const x = Math.floor((((n + 1) * 0.6180339887498949) % 1) * width)
    const y = Math.floor((n / strength.length) * height)
    const own = averageAt(x, y)
    if (own > unknownGrey / 50) strength[n] = Math.min(averageAt(x + dx, y + dy), averageAt(x - dx, y - dy)) - own
  }
  return deviationOf(strength, 0.004)
}

const counts = new Uint32Array(1024)

/** By the median of what is not nought, in which lines count for little, to a part `step` of the plane's unit. */
function deviationOf(strength: Float32Array, step: number): number {
  counts.fill(0)
  let count = 0
  for (let i = 0; i < strength.length; i++) {
    const size = Math.abs(strength[i])
    if (size === 0 || size > -unknownGrey / 50) continue
    counts[Math.min(1023, (size / step) | 0)]++
    count++
  }
  if (count < 30) return 0
  let below = 0
  for (let k = 0; k < 1024; k++) {
    below += counts[k]
    if (2 * below >= count) return ((k + 0.5) * step) / 0.6745
  }
  return 0
}
