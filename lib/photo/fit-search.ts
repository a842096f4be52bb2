/** The search for a photograph's camera: every promising start is followed, the cheapest end that faces the camera wins. */
import type { Surface } from '../journal/surface'
import { type FitBase, type FitState, stateAt, unknownCount, unknownIndex } from './fit-state'
import { type ContourSigns, type FitTask, linearise, scalarCount } from './fit-task'
import { minimise } from './levenberg-marquardt'
import { measure } from './observation'
import { chiSquare99 } from './quantiles'

export type End = { state: FitState; contourSigns: ContourSigns; cost: number }

/** How many starts are followed at most, and how many before an end that agrees with all handles is taken. */
const startsFollowed = { most: 12, least: 3 }

/** Follows starts to their ends, the most promising first, and takes the cheapest. */
export function bestEnd(task: FitTask, starts: readonly FitBase[], surface: Surface): End | null {
  const candidates = ranked(task, starts)
  let best: End | null = null
  const agreeing = chiSquare99(scalarCount(task.observations)) / 2
  for (let i = 0; i < Math.min(startsFollowed.most, candidates.length); i++) {
    if (best && i >= startsFollowed.least && best.cost < agreeing) break
    const end = follow(task, candidates[i].base, candidates[i].signs)
    if (end && plausible(task, end, surface) && (!best || end.cost < best.cost)) best = end
  }
  return best
}

type Candidate = { base: FitBase; signs: ContourSigns; cost: number }

/** Every start with each way round of the two sides, the most promising first. */
function ranked(task: FitTask, starts: readonly FitBase[]): Candidate[] {
  const candidates: Candidate[] = []
  for (const base of starts) {
    const state = stateAt(base, new Float64Array(unknownCount))
    for (const signs of [
      [1, -1],
      [-1, 1],
    ] as const) {
      const cost = softCost(task, state, signs)
      if (cost !== null) candidates.push({ base, signs, cost })
      if (!task.observations.some((o) => o.type === 'contour')) break
    }
  }
  return candidates.sort((a, b) => a.cost - b.cost)
}

function follow(task: FitTask, base: FitBase, contourSigns: ContourSigns): End | null {
  const full = new Float64Array(unknownCount)
  const expand = (parameters: ArrayLike<number>): Float64Array => {
    full.fill(0)
    task.unknowns.forEach((slot, i) => {
      full[slot] = parameters[i]
    })
    return full
  }
  const solution = minimise(
    { linearise: (parameters) => linearise(task, base, expand(parameters), contourSigns) },
    new Float64Array(task.unknowns.length),
    { maxIterations: 60, costTolerance: 1e-10, stepTolerance: 1e-12 },
  )
  return solution && { state: stateAt(base, expand(solution.parameters)), contourSigns, cost: solution.cost }
}

/** A cost that far-off picks cannot dominate: only for choosing among starts. */
function softCost(task: FitTask, state: FitState, signs: ContourSigns): number | null {
  let sum = 0
  const unit = state.camera.width / 100
  for (const observation of task.observations) {
    const measured = measure(state, observation, signs)
    if (!measured) return null
    const px = Math.hypot(...measured.residualsPx) / unit
    sum += Math.log1p(px * px) + (measured.facing ? 0 : 1)
  }
  return sum
}

/** An end counts only where what was picked faces the camera and the side picks lie along the journal. */
function plausible(task: FitTask, end: End, surface: Surface): boolean {
  if (end.state.camera.focalPx < end.state.camera.width / 20 || Math.abs(end.state.camera.k1) > 2) return false
  let away = 0
  const sides: number[] = []
  for (const observation of task.observations) {
    const measured = measure(end.state, observation, end.contourSigns)
    if (!measured) return false
    if (!measured.facing && observation.type === 'point') away++
    if (observation.type === 'contour') sides.push(measured.axial)
  }
  if (away > 0) return false
  const slideKnown = task.unknowns.includes(unknownIndex.slide)
  if (!slideKnown || sides.length === 0) return true
  const middle = sides.sort((a, b) => a - b)[sides.length >> 1]
  return middle > -0.15 * surface.width && middle < 1.15 * surface.width
}
