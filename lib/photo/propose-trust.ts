/**
 * How often a proposal like this one is right: logistic curves over what the search and the fits say of it, set on rendered photographs with seeds
 * below 1000.
 */
import type { OutlinedPose } from './propose-outlined'
import type { Refined } from './propose-refine'
import type { Candidate } from './propose-search'

/** Of a proposal whose tangent lines are steps of brightness. */
export function stepsTrust(candidate: Candidate, { fit, sidesFound, ringsFound }: Refined): number {
  const unit = Math.max(fit.camera.width, fit.camera.height) / 2400
  const rms = Math.min(5, fit.rmsPx / unit)
  const sigmaDeg = Math.min(5, fit.sigmas.angleDeg)
  // a pose whose distance the edges change was on other edges
  const moved = Math.min(0.2, Math.abs(Math.log(fit.camera.translation[2] / candidate.guess.distance)))
  return 1 / (1 + Math.exp(5.3 - 1.5 * candidate.score - 2.5 * sidesFound - 2 * ringsFound + 0.5 * rms + 0.3 * sigmaDeg + 15 * moved))
}

/**
 * Of a proposal that follows the outline: logistic regression on 103 white photographs of seeds 1 to 49 that tell their focal length, and a little less. What
 * tells most is how far the outline leaves the place along the axis open, how closely it is followed, and how much of both ends' fillets agrees.
 * @param inside how well all but the outline agrees
 */
export function outlineTrust(pose: OutlinedPose, inside: number, focalKnown: boolean): number {
  const { slideSigmaMm, scatterPx } = pose
  const z = -7.6 - 3.2 * Math.log(Math.max(0.05, slideSigmaMm)) - 5.3 * Math.min(1.2, scatterPx) + 2.7 * lesserEnd(pose) + 0.75 * inside
  return (focalKnown ? 1 : rightOfUnknownFocal) / (1 + Math.exp(-z))
}

/**
 * Of a proposal under ultraviolet: logistic regression on 72 photographs of seeds 501 to 524, nearly square, whether or not something tells their focal length.
 * @param glowing how much of the glow begins at both tangent lines
 */
export function glowTrust(pose: OutlinedPose, inside: number, glowing: number): number {
  const { slideSigmaMm, scatterPx } = pose
  const z =
    -6.3 -
    3.9 * Math.log(Math.max(0.05, slideSigmaMm)) -
    7.6 * Math.min(1.5, scatterPx) +
    1.3 * lesserEnd(pose) +
    1.5 * inside +
    1.7 * glowing
  return 1 / (1 + Math.exp(-z))
}

/** Of both ends, how much of the fillets' outline agrees at the one where less does, 0 to 2. */
function lesserEnd({ corners: [frontOne = 0, frontOther = 0, rearOne = 0, rearOther = 0] }: OutlinedPose): number {
  return Math.min(frontOne + frontOther, rearOne + rearOther)
}

/**
 * Share of right ones among well-placed proposals whose focal length nothing tells: the outline does not show it, and a tenth of it moves the tangent lines,
 * which lie nearer to the camera than the outline, by a third of a millimetre.
 */
const rightOfUnknownFocal = 0.75
