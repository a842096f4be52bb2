/** How far each handle lies from where the fit predicts it. */
import type { FitState } from './fit-state'
import type { FitTask } from './fit-task'
import type { HandleRef, Measured } from './observation'
import { quadraticForm } from './symmetric-matrix'

export type HandleResidual = {
  handle: HandleRef
  /** Length of the residual, px, and its part in units of its own expected deviation (studentised). */
  residualPx: number
  studentised: number
  /** The pick, and the predicted place nearest to it. */
  pick: { u: number; v: number }
  nearest: { u: number; v: number }
  /** The same distance on the metal, mm. */
  residualMm: number
}

/**
 * Residuals of all handles with the chi-square of them and of the priors. The degrees of freedom are the sum of what the
 * unknowns do not take up of each residual (one less its leverage): rows less unknowns for a photograph by itself, more
 * where neighbours carry part of the unknowns.
 */
export function residualsOf(task: FitTask, state: FitState, measured: readonly Measured[], covariance: Float64Array) {
  let chiSquare = 0
  let squares = 0
  let scalars = 0
  let spare = 0
  const residuals = measured.map((m, i): HandleResidual => {
    const observation = task.observations[i]
    let studentised = 0
    m.residualsPx.forEach((px, k) => {
      const r = px / task.pickSigmaPx
      chiSquare += r * r
      squares += px * px
      scalars++
      const row = Float64Array.from(task.unknowns, (slot) => m.rows[k][slot] / task.pickSigmaPx)
      const share = 1 - quadraticForm(covariance, row)
      spare += share
      studentised = Math.max(studentised, Math.abs(r) / Math.sqrt(Math.max(0.02, share)))
    })
    const residualPx = Math.hypot(...m.residualsPx)
    const depth = Math.hypot(...state.camera.translation)
    return {
      handle: observation.handle,
      residualPx,
      studentised,
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
