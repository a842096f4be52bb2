/**
 * Is a fit good enough to judge by? Published thresholds: the residual chi-square within its 99 % range for the
 * declared picks, the sigma of a mid-journal angle at most 3 degrees, that of the fillet distance at most 0.5 mm.
 */
import type { MapPoint, Surface } from '../journal/surface'
import { cameraPlace, type Camera } from './camera'
import { verticesCovariance } from './map-covariance'
import { chiSquare99 } from './quantiles'
import { quadraticForm } from './symmetric-matrix'

/** One standard deviation that the fit alone leaves at the middle of the journal, where it faces the camera. */
export type FitSigmas = {
  /** Of the angle to the shaft axis of a 6 mm line (its worst direction), degrees. */
  angleDeg: number
  /** Of a distance along the axis from a tangent line, mm; null where the slide is unknown. */
  filletMm: number | null
  /** Of a place around the journal, mm of arc; null where the roll is unknown. */
  aroundMm: number | null
}

export type FitQuality = {
  determined: boolean
  trusted: boolean
  sigmas: FitSigmas
  chiSquareLimit: number
  residualsWithinRange: boolean
}

export const trustLimits = { chiSquareShare: 0.99, angleSigmaDeg: 3, filletSigmaMm: 0.5 } as const

/** Beyond this the handles leave the view itself open. */
const undeterminedAngleDeg = 45

type Bare = {
  camera: Camera
  surface: Surface
  unknowns: readonly number[]
  covariance: Float64Array
  rollKnown: boolean
  slideKnown: boolean
  senseKnown: boolean
  chiSquare: number
  degreesOfFreedom: number
}

export function fitQuality(fit: Bare): FitQuality {
  const sigmas = midJournalSigmas(fit)
  const chiSquareLimit = chiSquare99(fit.degreesOfFreedom)
  // without a spare handle nothing can contradict another
  const residualsWithinRange = fit.degreesOfFreedom === 0 || fit.chiSquare <= chiSquareLimit
  const determined = Number.isFinite(sigmas.angleDeg) && sigmas.angleDeg < undeterminedAngleDeg
  const sure = sigmas.angleDeg <= trustLimits.angleSigmaDeg && (sigmas.filletMm === null || sigmas.filletMm <= trustLimits.filletSigmaMm)
  return { determined, trusted: determined && residualsWithinRange && sure && fit.senseKnown, sigmas, chiSquareLimit, residualsWithinRange }
}

function midJournalSigmas(fit: Bare): FitSigmas {
  const { surface } = fit
  const place = cameraPlace(fit.camera)
  const theta = Math.atan2(place[1], place[0])
  const s = surface.totalS / 2
  const half = 3
  let worst = 0
  for (const direction of [0, Math.PI / 4, Math.PI / 2]) {
    const around = half * Math.sin(direction)
    const along = half * Math.cos(direction)
    const ends: MapPoint[] = [
      { theta: theta - around / surface.radius, s: s - along },
      { theta: theta + around / surface.radius, s: s + along },
    ]
    const covariance = verticesCovariance(fit, ends, 0)
    if (!covariance) return { angleDeg: Number.POSITIVE_INFINITY, filletMm: null, aroundMm: null }
    // across the line: (cos, -sin) of its direction, over its length
    const across = [-Math.cos(direction), Math.sin(direction), Math.cos(direction), -Math.sin(direction), 0, 0].map((x) => x / (2 * half))
    worst = Math.max(worst, Math.sqrt(quadraticForm(covariance, across)))
  }
  const middle = verticesCovariance(fit, [{ theta, s }], 0)
  const filletFront = [0, 1, surface.front.radius > 0 ? -Math.PI / 2 : 0, 0]
  return {
    angleDeg: (worst * 180) / Math.PI,
    filletMm: fit.slideKnown && middle ? Math.sqrt(quadraticForm(middle, filletFront)) : null,
    aroundMm: fit.rollKnown && middle ? Math.sqrt(middle[0]) : null,
  }
}
