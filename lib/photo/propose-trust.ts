/**
 * How often a proposal like this one is right: a logistic curve over what the search and the fit say of it, set by hand on rendered photographs with
 * seeds below 1000. In white light a tangent line is a kink of the shading and its place along the axis often errs by more than 0.3 mm though
 * every curve looks right: there no sign tells the right ones, and trust stays low.
 */
import type { Refined } from './propose-refine'
import type { Candidate } from './propose-search'

/** Share of right ones among well-placed proposals whose tangent lines are kinks. */
const rightOfKinks = 0.4

/** @param steps whether the tangent lines were found as steps of brightness */
export function proposalTrust(candidate: Candidate, { fit, sidesFound, ringsFound }: Refined, steps: boolean): number {
  const unit = Math.max(fit.camera.width, fit.camera.height) / 2400
  const rms = Math.min(5, fit.rmsPx / unit)
  const sigmaDeg = Math.min(5, fit.sigmas.angleDeg)
  // a pose whose distance the edges change was on other edges
  const moved = Math.min(0.2, Math.abs(Math.log(fit.camera.translation[2] / candidate.guess.distance)))
  const z = -5.5 + 1.5 * candidate.score + 2.5 * sidesFound + 2 * ringsFound - 0.5 * rms - 0.3 * sigmaDeg - 15 * moved
  return (steps ? 1 : rightOfKinks) / (1 + Math.exp(-z))
}
