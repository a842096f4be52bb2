/**
 * How cheap it is to walk over each pixel of a rolled-out map in each of eight directions: cheap along a thin line that is darker than both its
 * sides (or brighter, under ultraviolet), dear elsewhere. Measured square by square where a way first comes near (`trace-lineness.ts`), so that a
 * large map is ready at once.
 */
import { greyRoot, smoothedPlane } from './trace-grey'
import { type LinenessTask, linenessTask, measureSquare, squareSide } from './trace-lineness'

export type TraceField = {
  width: number
  height: number
  /**
   * How far a pixel stands out as part of a line along each direction of `lineDirections`: standard deviations of its surroundings times 16, at most
   * 255; eight values a pixel.
   */
  lineness: Uint8Array
  /** Cost of a mm by lineness: 6 along a clear line to 64, so that a detour along another line is worth ten times the way at most. */
  costOf: Uint8Array
  /** A way that comes to more than this for a mm of the straight line follows nothing. */
  steelPrice: number
  /** mm of a step to the next column in each row (less in no row than on the cylinder), and to the next row. */
  stepAround: Float32Array
  stepAlong: number
  /** What is still to be measured; null: everything is. */
  task: LinenessTask | null
}

/** Row-major RGBA, rear first; alpha 0 where nothing is known. */
export type TraceMap = { width: number; height: number; rgba: Uint8Array | Uint8ClampedArray }

const dearest = 64
const cheapest = 6
/** Over bare steel the cheapest way comes to 23 to 38 (chance makes short stretches of it cheap), along a line that can be seen to 6 to 22. */
const steelPrice = 24
/** Standard deviations by which the cost comes down to its e-th part: what does not stand out at all is dear already. */
const costFalls = 0.8

/**
 * @param stepAround mm per column in each row; columns wrap around
 * @param line whether lines are darker or brighter than the metal
 */
export function traceField(map: TraceMap, stepAround: Float32Array, stepAlong: number, line: 'dark' | 'bright'): TraceField {
  const { width, height } = map
  const smooth = smoothedPlane(greyRoot(map, line), width, height)
  const costOf = Uint8Array.from({ length: 256 }, (_, k) => Math.round(cheapest + (dearest - cheapest) * Math.exp(-k / 16 / costFalls)))
  return {
    width,
    height,
    lineness: new Uint8Array(8 * width * height),
    costOf,
    steelPrice,
    stepAround,
    stepAlong,
    task: linenessTask(smooth, width, height, stepAlong),
  }
}

/** Measures the squares within two pixels of this one where that has not been done; columns wrap. */
export function measureAround({ task, lineness, width, height }: TraceField, x: number, y: number): void {
  if (!task) return
  const [left, right] = [x < 2 ? x - 2 + width : x - 2, x + 2 >= width ? x + 2 - width : x + 2]
  const top = Math.max(0, y - 2)
  const low = Math.min(height - 1, y + 2)
  measureSquare(task, lineness, (left / squareSide) | 0, (top / squareSide) | 0)
  measureSquare(task, lineness, (right / squareSide) | 0, (top / squareSide) | 0)
  measureSquare(task, lineness, (left / squareSide) | 0, (low / squareSide) | 0)
  measureSquare(task, lineness, (right / squareSide) | 0, (low / squareSide) | 0)
}
