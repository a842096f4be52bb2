/** The search for a photograph's camera: every promising start is followed, the cheapest end that faces the camera wins. */
import type { Surface } from '../journal/surface'
import { baseOf, type FitBase, type FitState, stateAt, unknownCount, unknownIndex } from './fit-state'
import type { FitStart, StartSearch } from './fit-starts'
import { type ContourSigns, type FitTask, linearise, scalarCount } from './fit-task'
import { minimise } from './levenberg-marquardt'
import { facesCamera } from './observation'
import { chiSquare99 } from './quantiles'
import { emptyReading, readObservation } from './reading'

export type End = { state: FitState; contourSigns: ContourSigns; cost: number }

/** How many starts are followed at most. */
const mostFollowed = 120

/**
 * Follows starts to their ends, the most promising first, then what the best end could be mistaken for; takes the cheapest.
 * A warm start is followed alone: under a held handle the journal stays what it was taken for, and let go all is looked for anew.
 */
export function bestEnd(task: FitTask, search: StartSearch, surface: Surface, warm?: Pick<FitStart, 'base' | 'signs'>): End | null {
  const held = warm && follow(task, warm.base, warm.signs, surface)
  if (held) return held
  let best: End | null = null
  const agreeing = chiSquare99(scalarCount(task.observations)) / 2
  for (const start of search.starts().slice(0, mostFollowed)) {
    best = cheaper(best, follow(task, start.base, start.signs, surface, best?.cost))
    if (best && best.cost < agreeing) break
  }
  // a rival that wins has rivals of its own
  for (let round = 0; round < 2 && best; round++) {
    const { state, cost }: End = best
    for (const rival of search.rivalsOf(baseOf(state.camera, state.surface))) {
      best = cheaper(best, follow(task, rival.base, rival.signs, surface, best?.cost))
    }
    if (best?.cost === cost) break
  }
  return best
}

/** Goes on from an end, for a task that leaves out other picks. */
export function followOn(task: FitTask, { state, contourSigns }: End, surface: Surface): End | null {
  return follow(task, baseOf(state.camera, state.surface), contourSigns, surface)
}

function cheaper(best: End | null, other: End | null): End | null {
  return other && (!best || other.cost < best.cost) ? other : best
}

/**
 * Where a start leads; null where what was picked would not face the camera or the side picks not lie along the journal.
 * A start that will not come under the rival cost is given up early.
 */
function follow(task: FitTask, base: FitBase, contourSigns: ContourSigns, surface: Surface, rivalCost?: number): End | null {
  const full = new Float64Array(unknownCount)
  const reading = emptyReading()
  const expand = (parameters: ArrayLike<number>): Float64Array => {
    full.fill(0)
    for (let i = 0; i < task.unknowns.length; i++) full[task.unknowns[i]] = parameters[i]
    return full
  }
  const solution = minimise(
    { linearise: (parameters, spare) => linearise(task, base, expand(parameters), contourSigns, spare, reading) },
    new Float64Array(task.unknowns.length),
    { maxIterations: 60, costTolerance: 1e-9, stepTolerance: 1e-12, rivalCost },
  )
  if (!solution) return null
  const end = { state: stateAt(base, expand(solution.parameters)), contourSigns, cost: solution.cost }
  return plausible(task, end, surface) ? end : null
}

/** An end counts only where what was picked faces the camera and the side picks lie along the journal. */
function plausible(task: FitTask, { state, contourSigns }: End, surface: Surface): boolean {
  if (state.camera.focalPx < state.camera.width / 20 || Math.abs(state.camera.k1) > 2) return false
  const sides: number[] = []
  const reading = emptyReading()
  for (const [i, observation] of task.observations.entries()) {
    if (!readObservation(state, observation, contourSigns, reading)) return false
    if (task.leftOut?.[i]) continue
    if (observation.type === 'point' && !facesCamera(state, observation, reading.point)) return false
    if (observation.type === 'contour') sides.push(reading.point[2])
  }
  const slideKnown = task.unknowns.includes(unknownIndex.slide)
  if (!slideKnown || sides.length === 0) return true
  const middle = sides.sort((a, b) => a - b)[sides.length >> 1]
  return middle > -0.15 * surface.width && middle < 1.15 * surface.width
}
