/** How far each handle lies from where the fit predicts it. */
import type { FitState } from './fit-state'
import { type FitTask, huberBend, leftOutWeight } from './fit-task'
import type { HandleRef, Measured } from './observation'
import { bilinearForm, quadraticForm } from '../journal/quadratic-form'

export type HandleResidual = {
  handle: HandleRef
  /** Length of the residual, px, and its part in units of its own expected deviation (studentised). */
  residualPx: number
  studentised: number
  /** Taken for a gross error: the fit does not follow it, and its studentised residual is that of a prediction. */
  leftOut: boolean
  /** The pick, and the predicted place nearest to it. */
  pick: { u: number; v: number }
  nearest: { u: number; v: number }
  /** The same distance on the metal, mm. */
  residualMm: number
}

/** A residual that the fit follows all but wholly says nothing about its pick. */
const leastShare = 0.02

/** What a pick counts in the fit: less where Huber's loss bends, next to nothing where it is left out. */
export function pickWeight(scalars: readonly { residual: number }[], leftOut: boolean): number {
  const largest = Math.max(...scalars.map(({ residual }) => Math.abs(residual)))
  return leftOut ? leftOutWeight ** 2 : Math.min(1, huberBend / Math.max(huberBend, largest))
}

/**
 * How far a pick is off what all the others put there, in units of that difference's deviation, in the direction in which it is most. One
 * residual, or the two of a point, whitened, with their rows. With leverage h and weight w in the fit the others alone
 * leave h' = h / (1 - w h) and the difference r (1 + w h'), of variance 1 + h'; for w = 1 that is r / sqrt(1 - h).
 */
export function studentisedSize(
  scalars: readonly { residual: number; row: Float64Array }[],
  covariance: Float64Array,
  weight: number,
): number {
  const size = (residual: number, leverage: number) => {
    const bounded = Math.min(leverage, (1 - leastShare) / weight)
    const others = bounded / (1 - weight * bounded)
    return (residual * (1 + weight * others)) / Math.sqrt(1 + others)
  }
  const [first, second] = scalars
  const a = quadraticForm(covariance, first.row)
  if (!second) return Math.abs(size(first.residual, a))
  const d = quadraticForm(covariance, second.row)
  const b = bilinearForm(covariance, first.row, second.row)
  // along the two principal directions of the leverage
  const turn = 0.5 * Math.atan2(2 * b, a - d)
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
  const mean = (a + d) / 2
  const half = Math.hypot((a - d) / 2, b)
  return Math.hypot(
    size(first.residual * cos + second.residual * sin, mean + half),
    size(second.residual * cos - first.residual * sin, Math.max(0, mean - half)),
  )
}

/**
 * Residuals of all handles with the chi-square of them and of the priors. The degrees of freedom are the sum of what the
 * unknowns do not take up of each residual (one less its leverage, as much as the pick counts): rows less unknowns for a photograph by itself, more
 * where neighbours carry part of the unknowns.
 */
export function residualsOf(task: FitTask, state: FitState, measured: readonly Measured[], covariance: Float64Array) {
  let chiSquare = 0
  let squares = 0
  let scalars = 0
  let spare = 0
  const residuals = measured.map((m, i): HandleResidual => {
    const observation = task.observations[i]
    const leftOut = task.leftOut?.[i] ?? false
    const whitened = m.residualsPx.map((px, k) => ({
      residual: px / task.pickSigmaPx,
      row: Float64Array.from(task.unknowns, (slot) => m.rows[k][slot] / task.pickSigmaPx),
    }))
    for (const { residual, row } of whitened) {
      chiSquare += residual ** 2
      squares += (residual * task.pickSigmaPx) ** 2
      scalars++
      spare += 1 - pickWeight([{ residual }], leftOut) * quadraticForm(covariance, row)
    }
    const residualPx = Math.hypot(...m.residualsPx)
    const depth = Math.hypot(...state.camera.translation)
    return {
      handle: observation.handle,
      residualPx,
      studentised: studentisedSize(whitened, covariance, pickWeight(whitened, leftOut)),
      leftOut,
      pick: { u: observation.u, v: observation.v },
      nearest: m.nearest,
      residualMm: (residualPx * depth) / state.camera.focalPx,
    }
  })
  for (const prior of task.priors.list) {
    const { residual, row } = prior.evaluate(state)
    chiSquare += residual ** 2
    spare +=
      1 -
      quadraticForm(
        covariance,
        task.unknowns.map((slot) => row[slot]),
      )
  }
  return { residuals, chiSquare, degreesOfFreedom: Math.max(0, Math.round(spare)), rmsPx: Math.sqrt(squares / scalars) }
}
