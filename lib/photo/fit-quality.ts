/**
 * Is a fit good enough to judge by? Published thresholds: the residual chi-square within its 99 % range for the
 * declared picks, the sigma of a mid-journal angle at most 3 degrees, that of the fillet distance at most 0.5 mm.
 */
import { type MapPoint, type Surface, surfacePoint } from '../journal/surface'
import { cameraPlace, type Camera, project } from './camera'
import { type FittedCamera, mapJacobian } from './map-covariance'
import { chiSquare99 } from './quantiles'
import { unknownIndex } from './fit-state'
import { quadraticForm } from '../journal/quadratic-form'
import { pixelToMap } from './unproject'

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

/** Of a fit, or of one that is only foreseen. */
export function midJournalSigmas(fit: FittedCamera & { rollKnown: boolean; slideKnown: boolean }): FitSigmas {
  const quantities = midJournalQuantities(fit)
  if (!quantities) return { angleDeg: Number.POSITIVE_INFINITY, filletMm: null, aroundMm: null }
  const sigma = (gradient: Float64Array) => Math.sqrt(quadraticForm(fit.covariance, gradient))
  return {
    angleDeg: Math.max(...quantities.angles.map((gradient) => sigma(gradient))),
    filletMm: quantities.fillet && sigma(quantities.fillet),
    aroundMm: quantities.around && sigma(quantities.around),
  }
}

/** Derivatives by the fit's unknowns of what is told at the middle of the journal, where it faces the camera. */
export type MidJournalQuantities = {
  /** Angle to the axis of a 6 mm line along, diagonal and around, degrees. */
  angles: [Float64Array, Float64Array, Float64Array]
  /** Distance from the front tangent line, mm; null where the slide is unknown. */
  fillet: Float64Array | null
  /** Place around the journal, mm of arc; null where the roll is unknown. */
  around: Float64Array | null
}

const lineHalfMm = 3

/** Null where the view there is too flat to tell. */
export function midJournalQuantities(fit: FittedCamera & { rollKnown: boolean; slideKnown: boolean }): MidJournalQuantities | null {
  const { surface } = fit
  const place = cameraPlace(fit.camera)
  const { theta, s } = toldPlace(fit, { theta: Math.atan2(place[1], place[0]), s: surface.totalS / 2 })
  const middle = mapJacobian(fit, { theta, s })
  const angles = [0, Math.PI / 4, Math.PI / 2].map((direction) => lineAngle(fit, { theta, s }, direction))
  if (!middle || !angles[0] || !angles[1] || !angles[2]) return null
  const fillet = Float64Array.from(middle.byUnknowns[1])
  const radius = fit.unknowns.indexOf(unknownIndex.frontRadius)
  if (radius >= 0) fillet[radius] -= Math.PI / 2
  return {
    angles: [angles[0], angles[1], angles[2]],
    fillet: fit.slideKnown ? fillet : null,
    around: fit.rollKnown ? middle.byUnknowns[0] : null,
  }
}

/** The middle of the journal, or of the picture where that lies beside the picture. */
function toldPlace({ surface, camera }: FittedCamera, middle: MapPoint): MapPoint {
  const seen = project(camera, surfacePoint(surface, middle))
  if (seen && seen.u >= 0 && seen.v >= 0 && seen.u <= camera.width && seen.v <= camera.height) return middle
  const shown = pixelToMap(surface, camera, { u: camera.width / 2, v: camera.height / 2 })
  return shown.ok ? shown.value : middle
}

/** How the angle of a short line turns with each unknown: its ends' movement across it, over its length, in degrees. */
function lineAngle(fit: FittedCamera, middle: MapPoint, direction: number): Float64Array | null {
  const around = lineHalfMm * Math.sin(direction)
  const along = lineHalfMm * Math.cos(direction)
  const ends = [-1, 1].map((end) =>
    mapJacobian(fit, { theta: middle.theta + (end * around) / fit.surface.radius, s: middle.s + end * along }),
  )
  const [first, last] = ends
  if (!first || !last) return null
  const toDegrees = 180 / Math.PI / (2 * lineHalfMm)
  return Float64Array.from(
    fit.unknowns,
    (_, k) =>
      toDegrees *
      (Math.cos(direction) * (last.byUnknowns[0][k] - first.byUnknowns[0][k]) -
        Math.sin(direction) * (last.byUnknowns[1][k] - first.byUnknowns[1][k])),
  )
}
