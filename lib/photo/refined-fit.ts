/** One photograph's fit out of the joint solve over all photographs of its journal, with what is to be said of it. */
import type { Warning } from '../model/findings'
import type { Photo } from '../model/photo'
import type { Fit } from './cylinder-fit'
import { type FitSigmas, fitQuality } from './fit-quality'
import { residualsOf } from './fit-residuals'
import { fitWarnings } from './fit-warnings'
import type { JointPhoto, JointSolution } from './joint-fit'
import { type Measured, measure } from './observation'

/** `at`: the photograph's place in the joint solve. Its roll and slide are known by then. */
export function refinedFit(
  photo: Photo,
  { task, contourSigns }: JointPhoto,
  solution: JointSolution,
  at: number,
  { senseKnown }: { senseKnown: boolean },
): Fit {
  const state = solution.states[at]
  const covariance = solution.covariances[at]
  const measured = task.observations.map((o) => measure(state, o, contourSigns)).filter((m): m is Measured => m !== null)
  const bare = {
    camera: state.camera,
    surface: state.surface,
    rollKnown: true,
    slideKnown: true,
    senseKnown,
    pickSigmaPx: task.pickSigmaPx,
    unknowns: [...task.unknowns],
    covariance,
    contourSigns,
    ...residualsOf(task, state, measured, covariance),
  }
  const quality = fitQuality(bare)
  const refined = { ...bare, sigmas: quality.sigmas, trusted: quality.trusted, residualsWithinRange: quality.residualsWithinRange }
  return { ...refined, warnings: fitWarnings(refined, quality, photo) }
}

export function borrowedRoll(neighbours: readonly string[], sigmas: FitSigmas): Warning {
  return {
    code: 'roll-from-neighbours',
    text: `Its angle about the shaft comes from what it shows alike with ${neighbours.join(', ')}${spread(sigmas)}.`,
  }
}

export function placedByNeighbours(neighbours: readonly string[], sigmas: FitSigmas): Warning {
  return {
    code: 'placed-by-neighbours',
    text: `Its handles alone do not fix the view: it was placed by what it shows alike with ${neighbours.join(', ')}${spread(sigmas)}.`,
  }
}

function spread({ aroundMm }: FitSigmas): string {
  return aroundMm === null ? '' : ` (to ${(1.96 * aroundMm).toFixed(2)} mm of arc, 95 %)`
}
