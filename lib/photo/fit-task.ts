/** What one photograph's handles and priors say of its unknowns: whitened residuals, their Jacobian, the information matrix. */
import { type FitBase, type FitState, stateAt, unknownCount, unknownIndex } from './fit-state'
import type { LensPriors } from './lens-priors'
import type { Linearisation } from './levenberg-marquardt'
import type { Observation } from './observation'
import { emptyReading, type Reading, readObservation } from './reading'

export type ContourSigns = readonly [1 | -1, 1 | -1]

export type FitTask = {
  observations: readonly Observation[]
  priors: LensPriors
  /** Indices of the free unknowns among the ten of fit-state.ts. */
  unknowns: readonly number[]
  pickSigmaPx: number
  /** For each observation whether it is left out as a gross error; none are where this is missing. */
  leftOut?: readonly boolean[]
}

/** What a left-out pick still weighs, in its own sigma's inverse: nothing to the others, but what it alone tells (a hole the roll) stays told, roughly. */
export const leftOutWeight = 1e-3

/** Huber's bend, in pick sigmas: nearly all of the efficiency of least squares, bounded pull of a gross error. */
export const huberBend = 2

export function freeUnknowns(rollKnown: boolean, slideKnown: boolean, priors: LensPriors): number[] {
  const free = [unknownIndex.tiltX, unknownIndex.tiltY, unknownIndex.offsetX, unknownIndex.offsetY]
  if (rollKnown) free.push(unknownIndex.roll)
  if (slideKnown) free.push(unknownIndex.slide)
  for (const prior of priors.list) free.push(prior.unknown)
  return free
}

/** Whitened, Huber-bent residuals with their Jacobian, priors last; what is left out counts next to nothing. `spare` may be written over. */
export function linearise(
  task: FitTask,
  base: FitBase,
  unknowns: Float64Array,
  signs: ContourSigns,
  spare: Linearisation | null = null,
  reading: Reading = emptyReading(),
): Linearisation | null {
  const state = stateAt(base, unknowns)
  const free = task.unknowns
  const n = free.length
  const into = spare ?? emptyLinearisation(scalarCount(task.observations) + task.priors.list.length, n)
  const { residuals, jacobian } = into
  let at = 0
  for (let o = 0; o < task.observations.length; o++) {
    if (!readObservation(state, task.observations[o], signs, reading)) return null
    const weight = (task.leftOut?.[o] ? leftOutWeight : 1) / task.pickSigmaPx
    for (let i = 0; i < reading.count; i++) {
      const r = reading.residualsPx[i] * weight
      const size = Math.abs(r)
      const bent = size <= huberBend ? r : Math.sign(r) * Math.sqrt(huberBend * (2 * size - huberBend))
      const slope = size <= huberBend ? weight : (weight * huberBend) / Math.abs(bent)
      residuals[at] = bent
      for (let k = 0; k < n; k++) jacobian[at * n + k] = slope * reading.rows[i * unknownCount + free[k]]
      at++
    }
  }
  for (const prior of task.priors.list) {
    const { residual, row } = prior.evaluate(state)
    residuals[at] = residual
    for (let k = 0; k < n; k++) jacobian[at * n + k] = row[free[k]]
    at++
  }
  return into
}

function emptyLinearisation(rows: number, n: number): Linearisation {
  return { residuals: new Float64Array(rows), jacobian: new Float64Array(rows * n) }
}

/** Huber's loss as a residual: value^2 / 2 is the loss, slope its derivative by r. */
export function huber(r: number): { value: number; slope: number } {
  const size = Math.abs(r)
  if (size <= huberBend) return { value: r, slope: 1 }
  const value = Math.sqrt(huberBend * (2 * size - huberBend))
  return { value: Math.sign(r) * value, slope: huberBend / value }
}

/** One whitened residual with its row, by the task's own unknowns; `pick` counts the observations. */
export type WhitenedScalar = { pick: number; residual: number; row: Float64Array }

/** Of every pick, left out or not, not bent; null where the state cannot see one. */
export function whitenedScalars(task: FitTask, state: FitState, signs: ContourSigns): WhitenedScalar[] | null {
  const reading = emptyReading()
  const scalars: WhitenedScalar[] = []
  for (const [pick, observation] of task.observations.entries()) {
    if (!readObservation(state, observation, signs, reading)) return null
    for (let i = 0; i < reading.count; i++) {
      const row = new Float64Array(task.unknowns.length)
      for (let k = 0; k < row.length; k++) row[k] = reading.rows[i * unknownCount + task.unknowns[k]] / task.pickSigmaPx
      scalars.push({ pick, residual: reading.residualsPx[i] / task.pickSigmaPx, row })
    }
  }
  return scalars
}

/** J'J of the scalars (large residuals weighted down as Huber's loss does, what is left out to next to nothing) with the priors. */
export function informationOf(task: FitTask, state: FitState, scalars: readonly WhitenedScalar[]): Float64Array {
  const n = task.unknowns.length
  const information = new Float64Array(n * n)
  const addRow = (row: ArrayLike<number>, weight: number) => {
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) information[i * n + j] += weight * row[i] * row[j]
  }
  for (const { pick, residual, row } of scalars) {
    addRow(row, task.leftOut?.[pick] ? leftOutWeight ** 2 : Math.min(1, huberBend / Math.abs(residual || 1e-12)))
  }
  for (const prior of task.priors.list) {
    const { row } = prior.evaluate(state)
    addRow(
      task.unknowns.map((slot) => row[slot]),
      1,
    )
  }
  return information
}

export function scalarCount(observations: readonly Observation[]): number {
  return observations.reduce((n, o) => n + (o.type === 'point' ? 2 : 1), 0)
}
