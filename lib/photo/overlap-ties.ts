/**
 * What two photographs that stand far apart share, drawn together: windows of their strips, which lie on one grid of the map by cameras that are
 * nearly right. All windows together tell by how much the whole is off; each then finds its own place near that, and tells as much as its brightness
 * changes beyond what a factor and an offset could make (least squares matching: A. W. Gruen, 1985).
 */
import { floorGrey, type GlowStrip, type StripWindow, stripWindows, placeOfColumn, smoothedStrip, windowCorrelation } from './glow-strip'
import type { Surface } from '../journal/surface'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

/** What the first shows at a column and row of the grid, the second shows `columns` and `rows` further on. */
export type OverlapTie = {
  column: number
  row: number
  columns: number
  rows: number
  /** Of the shift, mm^-2, by the windows' noise alone: around around, around along, along along. */
  information: [number, number, number]
}

/** How far the whole may be off, mm. */
export type OverlapReach = { around: number; along: number }

/** Windows overlap by half, so that no detail is cut everywhere. */
const nextShare = 0.5
/** Columns and rows, one standard deviation. */
const smoothSigma = 2
const leastSeen = 0.7
const leastCorrelation = 0.8
/** A window's own place lies within this of the whole's, mm. */
const roomMm = 0.35

export function overlapTies(surface: Surface, first: GlowStrip, second: GlowStrip, reach: OverlapReach): OverlapTie[] {
  const [a, b] = [smoothedStrip(first, smoothSigma), smoothedStrip(second, smoothSigma)]
  const offset = placeOfColumn(b, a.first + a.width / 2) - a.width / 2
  const windows = stripWindows(surface, a, nextShare).filter((window) => windowCorrelation(a, b, window, offset, 0, leastSeen) > -1)
  const reachX = Math.max(2, Math.round(reach.around / a.step.around))
  const reachY = Math.max(1, Math.round(reach.along / a.step.along))
  const whole = wholeShift(a, b, windows, offset, reachX, reachY)
  if (!whole) return []
  const room = Math.max(2, Math.round(roomMm / a.step.around))
  return windows.flatMap((window) => {
    const best = ownShift(a, b, window, whole, room)
    return (best && tieAt(a, b, window, best.dx, best.dy, offset)) ?? []
  })
}

type Shift = { dx: number; dy: number }

/** The shift that all windows together like best, by the logarithm of a likelihood that has a floor. */
function wholeShift(
  a: GlowStrip,
  b: GlowStrip,
  windows: readonly StripWindow[],
  offset: number,
  reachX: number,
  reachY: number,
): Shift | null {
  let best: (Shift & { sum: number }) | null = null
  for (let dy = -reachY; dy <= reachY; dy += roughStep) {
    for (let dx = -reachX; dx <= reachX; dx += roughStep) {
      let sum = 0
      for (const window of windows) {
        const correlation = windowCorrelation(a, b, window, offset + dx, dy, leastSeen)
        if (correlation > -1) sum += Math.log(nothingAlike + (1 - nothingAlike) * likelihood(correlation))
      }
      if (!best || sum > best.sum) best = { dx: offset + dx, dy, sum }
    }
  }
  return best && best.sum > 0 ? best : null
}

/** Strips are smooth over more than two places. */
const roughStep = 2
const nothingAlike = 0.3
/** So many independent witnesses a window has, about. */
const witnesses = 6

/** Of a match that leaves 1 - c^2 of the variance over, beside none. */
function likelihood(correlation: number): number {
  return (1 - Math.min(0.98, Math.max(0, correlation) ** 2)) ** (-witnesses / 2)
}

/** The window's own summit nearest to the whole's; null where there is none within the room, or a low one. */
function ownShift(a: GlowStrip, b: GlowStrip, window: StripWindow, whole: Shift, room: number): Shift | null {
  const side = 2 * room + 3
  const known = new Float64Array(side * side).fill(Number.NaN)
  const at = (dx: number, dy: number) => {
    const k = (dy - whole.dy + room + 1) * side + dx - whole.dx + room + 1
    if (Number.isNaN(known[k])) known[k] = windowCorrelation(a, b, window, dx, dy, leastSeen)
    return known[k]
  }
  let { dx, dy } = whole
  for (let climbing = true; climbing; ) {
    climbing = false
    for (const [x, y] of [
      [dx + 1, dy],
      [dx - 1, dy],
      [dx, dy + 1],
      [dx, dy - 1],
    ]) {
      if (at(x, y) <= at(dx, dy)) continue
      dx = x
      dy = y
      climbing = true
    }
    if (Math.abs(dx - whole.dx) > room || Math.abs(dy - whole.dy) > room) return null
  }
  return at(dx, dy) < leastCorrelation ? null : { dx, dy }
}

/** One step of least squares from a whole shift: shift, factor and offset are solved together, and what factor and offset take is off the shift's information. */
function tieAt(a: GlowStrip, b: GlowStrip, { x0, x1, y0, y1 }: StripWindow, dx: number, dy: number, offset: number): OverlapTie | null {
  const { width } = b
  const normal = new Float64Array(16)
  const right = new Float64Array(4)
  let [places, squares, weight, atX, atY] = [0, 0, 0, 0, 0]
  for (let y = Math.max(y0, 1 - dy); y < Math.min(y1, b.height - dy - 1); y++) {
    for (let x = Math.max(x0, 1 - dx); x < Math.min(x1, width - dx - 1); x++) {
      const p = a.grey[y * a.width + x]
      const k = (y + dy) * width + x + dx
      const q = b.grey[k]
      const gx = (b.grey[k + 1] - b.grey[k - 1]) / 2
      const gy = (b.grey[k + width] - b.grey[k - width]) / 2
      if (Number.isNaN(p + gx + gy) || Number.isNaN(q)) continue
      // q + gx ex + gy ey = factor p + offset
      const row = [gx, gy, -p, -1]
      for (let i = 0; i < 4; i++) {
        right[i] -= row[i] * q
        for (let j = 0; j < 4; j++) normal[4 * i + j] += row[i] * row[j]
      }
      squares += q * q
      places++
      weight += gx * gx
      atX += gx * gx * x
      atY += gx * gx * y
    }
  }
  const covariance = places > 0.5 * (x1 - x0) * (y1 - y0) && weight > 0 ? inverseOfPositiveDefinite(normal, 4) : null
  if (!covariance) return null
  const solution = [0, 1, 2, 3].map((i) => right.reduce((sum, value, j) => sum + covariance[4 * i + j] * value, 0))
  if (!(solution[2] > 0)) return null
  const left = squares - solution.reduce((sum, value, i) => sum + value * right[i], 0)
  // neighbouring places of smooth strips are no witnesses of their own
  const noise = (Math.max(0, left) / places + floorGrey ** 2) * 4 * Math.PI * smoothSigma ** 2
  const { around, along } = a.step
  const [xx, xy, yy] = [noise * covariance[0] * around ** 2, noise * covariance[1] * around * along, noise * covariance[5] * along ** 2]
  const determinant = xx * yy - xy * xy
  if (!(determinant > 0)) return null
  const within = (value: number) => Math.max(-1, Math.min(1, value))
  return {
    column: a.first + atX / weight,
    row: atY / weight,
    columns: dx - offset + within(solution[0]),
    rows: dy + within(solution[1]),
    information: [yy / determinant, -xy / determinant, xx / determinant],
  }
}
