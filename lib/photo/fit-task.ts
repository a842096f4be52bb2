/** What one photograph's handles and priors say of its unknowns: whitened residuals, their Jacobian, the information matrix. */
import { type FitBase, type FitState, stateAt, unknownIndex } from './fit-state'
import type { LensPriors } from './lens-priors'
import type { Linearisation } from './levenberg-marquardt'
import { type Measured, measure, type Observation } from './observation'

export type ContourSigns = readonly [1 | -1, 1 | -1]

export type FitTask = {
  observations: readonly Observation[]
  priors: LensPriors
  /** Indices of the free unknowns among the ten of fit-state.ts. */
  unknowns: readonly number[]
  pickSigmaPx: number
}

/** Huber's bend, in pick sigmas: nearly all of the efficiency of least squares, bounded pull of a gross error. */
const huberBend = 2

export function freeUnknowns(rollKnown: boolean, slideKnown: boolean, priors: LensPriors): number[] {
  const free = [unknownIndex.tiltX, unknownIndex.tiltY, unknownIndex.offsetX, unknownIndex.offsetY]
  if (rollKnown) free.push(unknownIndex.roll)
  if (slideKnown) free.push(unknownIndex.slide)
  for (const prior of priors.list) free.push(prior.unknown)
  return free
}

/** Whitened, Huber-bent residuals with their Jacobian, priors last. */
export function linearise(task: FitTask, base: FitBase, unknowns: Float64Array, signs: ContourSigns): Linearisation | null {
  const state = stateAt(base, unknowns)
  const n = task.unknowns.length
  const residuals: number[] = []
  const rows: number[] = []
  for (const observation of task.observations) {
    const measured = measure(state, observation, signs)
    if (!measured) return null
    measured.residualsPx.forEach((px, i) => {
      const r = px / task.pickSigmaPx
      const { value, slope } = huber(r)
      residuals.push(value)
      for (const slot of task.unknowns) rows.push((slope * measured.rows[i][slot]) / task.pickSigmaPx)
    })
  }
  for (const prior of task.priors.list) {
    const { residual, row } = prior.evaluate(state)
    residuals.push(residual)
    for (const slot of task.unknowns) rows.push(row[slot])
  }
  return {
    residuals: Float64Array.from(residuals),
    jacobian: rows.length === residuals.length * n ? Float64Array.from(rows) : new Float64Array(0),
  }
}

/** Huber's loss as a residual: value^2 / 2 is the loss, slope its derivative by r. */
export function huber(r: number): { value: number; slope: number } {
  const size = Math.abs(r)
  if (size <= huberBend) return { value: r, slope: 1 }
  const value = Math.sqrt(huberBend * (2 * size - huberBend))
  return { value: Math.sign(r) * value, slope: huberBend / value }
}

/** J'J of the whitened rows (gross errors weighted down) with the priors. */
export function informationOf(task: FitTask, state: FitState, measured: readonly Measured[]): Float64Array {
  const n = task.unknowns.length
  const information = new Float64Array(n * n)
  const addRow = (row: ArrayLike<number>, weight: number) => {
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) information[i * n + j] += weight * row[task.unknowns[i]] * row[task.unknowns[j]]
  }
  for (const m of measured) {
    m.rows.forEach((row, i) => {
      const r = m.residualsPx[i] / task.pickSigmaPx
      addRow(row, Math.min(1, huberBend / Math.abs(r || 1e-12)) / task.pickSigmaPx ** 2)
    })
  }
  for (const prior of task.priors.list) addRow(prior.evaluate(state).row, 1)
  return information
}

export function scalarCount(observations: readonly Observation[]): number {
  return observations.reduce((n, o) => n + (o.type === 'point' ? 2 : 1), 0)
}
