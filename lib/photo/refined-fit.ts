/** One photograph's fit out of the joint solve over all photographs of its journal, with what is to be said of it. */
import { type MapPoint, surfacePoint } from '../journal/surface'
import type { Warning } from '../model/findings'
import type { Photo } from '../model/photo'
import { type PhotoPoint, project } from './camera'
import type { Fit } from './cylinder-fit'
import { type FitSigmas, fitQuality } from './fit-quality'
import { residualsOf } from './fit-residuals'
import type { FitState } from './fit-state'
import { fitWarnings } from './fit-warnings'
import type { JointPhoto, JointSolution, Tie } from './joint-fit'
import { type Measured, measure } from './observation'
import { pixelToMap } from './unproject'

/** `at`: the photograph's place in the joint solve, `ties`: all of that. Its roll and slide are known by then. */
export function refinedFit(
  photo: Photo,
  { task, contourSigns }: JointPhoto,
  solution: JointSolution,
  at: number,
  { senseKnown, ties }: { senseKnown: boolean; ties: readonly Tie[] },
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
    ...(measured.length === 0 ? { rmsPx: tieRmsPx(solution, ties, at) } : {}),
  }
  const quality = fitQuality(bare)
  const refined = { ...bare, sigmas: quality.sigmas, trusted: quality.trusted, residualsWithinRange: quality.residualsWithinRange }
  return { ...refined, warnings: fitWarnings(refined, quality, photo) }
}

/** Root mean square of the ties' residuals in the photograph, px a coordinate: what stands for its picks where there are none. */
function tieRmsPx({ states }: JointSolution, ties: readonly Tie[], at: number): number {
  let squares = 0
  let scalars = 0
  for (const { first, second } of ties) {
    const [own, other] = first.photo === at ? [first, second] : [second, first]
    if (own.photo !== at) continue
    const place = other.photo === null ? other.place : placeIn(states[other.photo], other.pixel)
    const seen = place && project(states[at].camera, surfacePoint(states[at].surface, place))
    if (!seen) continue
    squares += (seen.u - own.pixel.u) ** 2 + (seen.v - own.pixel.v) ** 2
    scalars += 2
  }
  return scalars > 0 ? Math.sqrt(squares / scalars) : 0
}

function placeIn({ surface, camera }: FitState, pixel: PhotoPoint): MapPoint | null {
  const found = pixelToMap(surface, camera, pixel)
  return found.ok ? found.value : null
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
