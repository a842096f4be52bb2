/**
 * Codes of the strip to a fraction of a pixel, where a first camera says they are: every black to white step of a code, inside and
 * on its border, is looked for across its predicted place; all steps of a code together give how far it lies from the
 * prediction (shift, stretch, shear) and how far its ink has spread, and so its corners. A code whose steps are not there is not.
 */
import { scale } from '../journal/vector'
import type { PhotoPoint } from './camera'
import type { FitState } from './fit-state'
import { markerCells } from './printed-strip-cells'
import { cellsPerSide, markerCorners, markerMiddle, type StripPoint } from './printed-strip-design'
import type { GreyBytes } from './printed-strip-markers'
import type { SeenMarker } from './printed-strip-corners'
import { inPicture, seenPlace, type StripPlacement, type StripSeat, wrappedPoint } from './printed-strip-wrap'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

/** Cosine to the surface's normal under which a code is too foreshortened to be read. */
const leastCosine = 0.15
/** How far to each side a step is looked for, in cells: less than half, so that it is not another step. */
const reachCells = 0.45
/** Least change of grey level, and least reach in px, at which a step counts. */
const leastChange = 12
const leastReachPx = 1.2
/** How far black and white may vary over a code, of their difference. */
const greySlack = 0.3
/** Share of a code's steps that must be there. */
const leastShare = 0.6

/** The codes that the photograph shows where state and placement predict them. */
export function measuredMarkers(picture: GreyBytes, seat: StripSeat, state: FitState, placement: StripPlacement): SeenMarker[] {
  const found: SeenMarker[] = []
  for (let place = 0; place < seat.design.markers; place++) {
    const corners = measuredCorners(picture, seat, state, placement, place)
    if (corners) found.push({ place, corners })
  }
  return found
}

function measuredCorners(
  picture: GreyBytes,
  seat: StripSeat,
  state: FitState,
  placement: StripPlacement,
  place: number,
): PhotoPoint[] | null {
  if (!inSight(picture, seat, state, placement, place)) return null
  const { design } = seat
  const middle = markerMiddle(design, place)
  const steps = stepsOf(design.firstId + place)
  const measured: MeasuredStep[] = []
  for (const step of steps) {
    const one = measuredStep(picture, seat, state, placement, middle, step)
    if (one) measured.push(one)
  }
  const alike = ofOneInk(measured)
  if (alike.length < leastShare * steps.length) return null
  const shift = shiftOf(alike)
  if (!shift) return null
  const corners: PhotoPoint[] = []
  for (const corner of markerCorners(design, place)) {
    const x = (corner.x - middle.x) / design.module
    const y = (corner.y - middle.y) / design.module
    const seen = seenPlace(
      state,
      wrappedPoint(seat, placement, {
        x: corner.x + design.module * (shift[0] + shift[1] * x + shift[2] * y),
        y: corner.y + design.module * (shift[3] + shift[4] * x + shift[5] * y),
      }).point,
    )
    if (!seen) return null
    corners.push({ u: seen.u, v: seen.v })
  }
  return corners
}

function inSight({ width, height }: GreyBytes, seat: StripSeat, state: FitState, placement: StripPlacement, place: number): boolean {
  const around = [markerMiddle(seat.design, place), ...markerCorners(seat.design, place)]
  const camera = state.place
  return around.every((flat) => {
    const { point, theta } = wrappedPoint(seat, placement, flat)
    const towards = [camera[0] - point[0], camera[1] - point[1], camera[2] - point[2]]
    const cosine = (towards[0] * Math.cos(theta) + towards[1] * Math.sin(theta)) / Math.hypot(...towards)
    const seen = seenPlace(state, point)
    return cosine > leastCosine && seen !== null && seen.u > 2 && seen.v > 2 && seen.u < width - 2 && seen.v < height - 2
  })
}

/** A step between two cells, in cells from the code's middle (x right, y up): its middle; `upright`: it runs along y; `inkSide`: +1 where black lies at the smaller coordinate. */
type Step = { x: number; y: number; upright: boolean; inkSide: 1 | -1 }

function stepsOf(id: number): Step[] {
  const cells = markerCells(id)
  const half = cellsPerSide / 2
  const white = (row: number, column: number) => cells[row]?.[column] ?? true
  const steps: Step[] = []
  for (let row = 0; row < cellsPerSide; row++) {
    for (let edge = 0; edge <= cellsPerSide; edge++) {
      const left = white(row, edge - 1)
      if (left !== white(row, edge)) steps.push({ x: edge - half, y: half - row - 0.5, upright: true, inkSide: left ? -1 : 1 })
      // the same table read down its columns; y grows upwards
      const above = white(edge - 1, row)
      if (above !== white(edge, row)) steps.push({ x: row + 0.5 - half, y: half - edge, upright: false, inkSide: above ? 1 : -1 })
    }
  }
  return steps
}

type MeasuredStep = Step & {
  /** How far it lies beyond its predicted place along x (upright) or y, cells. */
  off: number
  /** Grey levels of its two sides. */
  black: number
  white: number
}

/** Places along a step at which it is looked across, cells from its middle. */
const acrossAt = [-0.27, 0, 0.27]
const profileSteps = 16

function measuredStep(
  picture: GreyBytes,
  seat: StripSeat,
  state: FitState,
  placement: StripPlacement,
  middle: StripPoint,
  step: Step,
): MeasuredStep | null {
  const cell = seat.design.module
  const flat = { x: middle.x + cell * step.x, y: middle.y + cell * step.y }
  const wrapped = wrappedPoint(seat, placement, flat)
  const seen = seenPlace(state, wrapped.point)
  if (!seen) return null
  const byX = inPicture(seen, scale(wrapped.byX, cell))
  const byY = inPicture(seen, scale(wrapped.byY, cell))
  const [along, across] = step.upright ? [byY, byX] : [byX, byY]
  // how far the step lies from its edge's own line for one cell: seen so obliquely that its two sides run together it cannot be measured
  const pxPerCell = Math.abs(along[0] * across[1] - along[1] * across[0]) / Math.hypot(...along)
  if (!(reachCells * pxPerCell >= leastReachPx)) return null
  const profile = new Float64Array(profileSteps + 1)
  for (const place of acrossAt) {
    const u0 = seen.u + place * along[0]
    const v0 = seen.v + place * along[1]
    for (let i = 0; i <= profileSteps; i++) {
      const t = reachCells * ((2 * i) / profileSteps - 1)
      profile[i] += greyAt(picture, u0 + t * across[0], v0 + t * across[1])
    }
  }
  const found = crossing(profile, step.inkSide)
  if (!found) return null
  const levels = [found.low / acrossAt.length, found.high / acrossAt.length]
  const [black, white] = step.inkSide > 0 ? levels : [levels[1], levels[0]]
  return { ...step, off: reachCells * ((2 * found.at) / profileSteps - 1), black, white }
}

/** Steps whose black and white are those of most: what hides a part of the code has another grey. */
function ofOneInk(steps: readonly MeasuredStep[]): MeasuredStep[] {
  if (steps.length === 0) return []
  const median = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]
  const black = median(steps.map((step) => step.black))
  const white = median(steps.map((step) => step.white))
  const slack = greySlack * (white - black)
  return steps.filter((step) => Math.abs(step.black - black) <= slack && Math.abs(step.white - white) <= slack)
}

/** Where a profile crosses half way between its two ends' levels, in steps, nearest to its middle; null where it does not rise (or fall) enough. */
function crossing(profile: Float64Array, inkSide: 1 | -1): { at: number; low: number; high: number } | null {
  const last = profile.length - 1
  const outer = 4
  let low = 0
  let high = 0
  for (let i = 0; i < outer; i++) {
    low += profile[i]
    high += profile[last - i]
  }
  low /= outer
  high /= outer
  if (inkSide * (high - low) < leastChange * acrossAt.length) return null
  const half = (low + high) / 2
  let at: number | null = null
  for (let i = 0; i < last; i++) {
    const before = profile[i] - half
    const after = profile[i + 1] - half
    if (before * after > 0 || before === after) continue
    const here = i + before / (before - after)
    if (at === null || Math.abs(here - last / 2) < Math.abs(at - last / 2)) at = here
  }
  return at === null ? null : { at, low, high }
}

/** Bilinear grey level at a place in px. */
export function greyAt({ width, height, data }: GreyBytes, u: number, v: number): number {
  const x = Math.min(width - 1.001, Math.max(0, u - 0.5))
  const y = Math.min(height - 1.001, Math.max(0, v - 0.5))
  const column = x | 0
  const row = y | 0
  const at = row * width + column
  const fx = x - column
  const fy = y - row
  return (1 - fy) * ((1 - fx) * data[at] + fx * data[at + 1]) + fy * ((1 - fx) * data[at + width] + fx * data[at + width + 1])
}

/**
 * The shift of a code in cells: x' = x + s0 + s1 x + s2 y, y' = y + s3 + s4 x + s5 y, robustly from its steps; the
 * seventh unknown, how far the ink has spread, is left out. Null where the steps do not determine it.
 */
function shiftOf(steps: readonly MeasuredStep[]): Float64Array | null {
  const n = 7
  let shift = new Float64Array(n)
  let bend = Number.POSITIVE_INFINITY
  for (let round = 0; round < 4; round++) {
    const information = new Float64Array(n * n)
    const pull = new Float64Array(n)
    const left: number[] = []
    for (const step of steps) {
      const row = step.upright ? [1, step.x, step.y, 0, 0, 0, step.inkSide] : [0, 0, 0, 1, step.x, step.y, step.inkSide]
      const residual = step.off - row.reduce((sum, value, i) => sum + value * shift[i], 0)
      left.push(Math.abs(residual))
      const weight = Math.abs(residual) > 2 * bend ? 0 : Math.min(1, bend / Math.max(1e-12, Math.abs(residual)))
      for (let i = 0; i < n; i++) {
        pull[i] += weight * row[i] * step.off
        for (let j = 0; j < n; j++) information[i * n + j] += weight * row[i] * row[j]
      }
    }
    bend = Math.max(0.01, 2 * 1.4826 * left.sort((a, b) => a - b)[left.length >> 1])
    const inverse = inverseOfPositiveDefinite(information, n)
    if (!inverse) return null
    shift = Float64Array.from(shift, (_, i) => {
      let sum = 0
      for (let j = 0; j < n; j++) sum += inverse[i * n + j] * pull[j]
      return sum
    })
  }
  return shift
}
