/** How often a proposal like this one is right: a logistic curve over what the search and the fit say of it. */
import type { Refined } from './propose-refine'
import type { Candidate } from './propose-search'

/** What trust is made of; also what it is calibrated on. */
export type TrustSigns = {
  score: number
  sidesFound: number
  ringsFound: number
  rms: number
  sigmaAngle: number
  moved: number
}

export function trustSigns(candidate: Candidate, { fit, sidesFound, ringsFound }: Refined): TrustSigns {
  const unit = Math.max(fit.camera.width, fit.camera.height) / 2400
  const distance = fit.camera.translation[2]
  return {
    score: candidate.score,
    sidesFound,
    ringsFound,
    rms: Math.min(5, fit.rmsPx / unit),
    sigmaAngle: Math.min(5, fit.sigmas.angleDeg ?? 5),
    moved: Math.min(0.2, Math.abs(Math.log(distance / candidate.guess.distance))),
  }
}

export function proposalTrust(candidate: Candidate, refined: Refined): number {
  const signs = trustSigns(candidate, refined)
  const z =
    -5.5 + 1.5 * signs.score + 2.5 * signs.sidesFound + 2 * signs.ringsFound - 0.5 * signs.rms - 0.3 * signs.sigmaAngle - 15 * signs.moved
  return 1 / (1 + Math.exp(-z))
}
