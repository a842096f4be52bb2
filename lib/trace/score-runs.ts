/**
 * Parts a path where it turns from a line that runs straight around the journal, as a score does, into another or back: a crack that meets a
 * score is a line of its own, and each is judged by itself.
 */
import { centred } from './candidate-features'
import type { LineEvidence } from './line-evidence'
import { linePlacesPerMm } from './line-grid'
import { lengthOf } from './path-shape'
import type { RidgePath } from './ridge-path'

/** A run is so long at least, mm; it leaves its straight line by no more than this (root mean square) and leans by no more than this. */
const runMm = 9
const strayMm = 0.022
const leanMost = 0.06

/** The parts in their order along the path; the path itself where it is of one kind. Parts of less than `leastPlaces` are left out. */
export function partedAtScores(evidence: LineEvidence, path: RidgePath, leastPlaces: number): RidgePath[] {
  const { points, heights } = path
  const length = lengthOf(points)
  if (length < runMm * linePlacesPerMm) return [path]
  const window = Math.max(2, Math.round((runMm * linePlacesPerMm * (points.length - 1)) / length))
  const places = centred(evidence, points)
  const straight = new Uint8Array(points.length)
  for (let from = 0; from + window < points.length; from += 2)
    if (runsAround(places, from, from + window)) straight.fill(1, from, from + window + 1)
  const parts: RidgePath[] = []
  let from = 0
  for (let i = 1; i <= points.length; i++) {
    if (i < points.length && straight[i] === straight[from]) continue
    const part = { points: points.slice(from, i), heights: heights.slice(from, i) }
    if (lengthOf(part.points) >= leastPlaces) parts.push(part)
    from = i
  }
  return parts
}

function runsAround(places: readonly { x: number; y: number }[], from: number, to: number): boolean {
  const count = to - from + 1
  let [sumX, sumY] = [0, 0]
  for (let i = from; i <= to; i++) {
    sumX += places[i].x
    sumY += places[i].y
  }
  const [midX, midY] = [sumX / count, sumY / count]
  let [xx, xy, yy] = [0, 0, 0]
  for (let i = from; i <= to; i++) {
    const [x, y] = [places[i].x - midX, places[i].y - midY]
    xx += x * x
    xy += x * y
    yy += y * y
  }
  const lean = xy / Math.max(1e-9, xx)
  return Math.abs(lean) <= leanMost && Math.sqrt(Math.max(0, yy - lean * xy) / count) <= strayMm * linePlacesPerMm
}
