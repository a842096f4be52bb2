/**
 * One photograph's camera from its handles: robust maximum likelihood over the axis line (4), the roll about it and
 * the slide along it where something shows them, the focal length under its prior, k1 where it is not known, and
 * fillet radii that carry an uncertainty of their own. Every start is followed; the cheapest end that faces the
 * camera wins. Covariance from J'J with the priors.
 */
import { type Surface, surfaceOf } from '../journal/surface'
import { add, apply } from '../journal/vector'
import type { Warning } from '../model/findings'
import type { Journal } from '../model/journal'
import { defaultPickSigmaPx, type Photo } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import type { Camera, PhotoPoint } from './camera'
import { type FitSigmas, fitQuality } from './fit-quality'
import { type HandleResidual, residualsOf } from './fit-residuals'
import { bestEnd, followOn } from './fit-search'
import { fitStarts } from './fit-starts'
import { baseOf, type FitState, stateAt, unknownCount } from './fit-state'
import { type ContourSigns, type FitTask, freeUnknowns, informationOf, scalarCount, whitenedScalars } from './fit-task'
import { fitWarnings } from './fit-warnings'
import { type Refit, withoutGrossErrors } from './gross-errors'
import { type LensData, lensPriors } from './lens-priors'
import { type Measured, measure, type Observation, observationsOf, tellsFrontFromRear } from './observation'
import { emptyReading } from './reading'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

export type Fit = {
  camera: Camera
  surface: Surface
  rollKnown: boolean
  slideKnown: boolean
  /** False where nothing picked tells the front from the rear: the journal may lie turned end for end. */
  senseKnown: boolean
  trusted: boolean
  /** False where the handles contradict each other beyond their picking noise. */
  residualsWithinRange: boolean
  /** Root mean square of the scalar residuals, px. */
  rmsPx: number
  chiSquare: number
  degreesOfFreedom: number
  pickSigmaPx: number
  residuals: HandleResidual[]
  /** Indices into the ten unknowns of fit-state.ts, and their covariance (k x k, row-major). */
  unknowns: number[]
  covariance: Float64Array
  sigmas: FitSigmas
  /** On which side of the axis each list of side points lies. */
  contourSigns: ContourSigns
  warnings: Warning[]
  /** Where a printed strip was seen. */
  strip?: StripOfFit
}

/** The printed strip as all photographs of the journal together have it, and its codes in this one. */
export type StripOfFit = {
  markers: { id: number /** As found, and as the fit predicts them, px. */; corners: PhotoPoint[]; predicted: PhotoPoint[] }[]
  /** What was found of a hole's size in the picture: where its middle is seen, px, and whether it counts. */
  rims: { holeId: string; u: number; v: number; sigmaPx: number; used: boolean }[]
  /** The paper, which hides the metal: closed outlines, px. */
  outlines: PhotoPoint[][]
  /** Printed over wanted size. */
  scale: number
  skewMm: number
  /** Null where nothing tells. */
  frontEdgeMm: number | null
  zeroAngleDeg: number | null
}

/** `too-little-alike`: it shows too little that the placed photographs show too; `ambiguous`: two places suit it. */
export type NotPlaced = 'too-little-alike' | 'ambiguous'

/** What is missing, as facts: the screen writes the sentence. */
export type FitFailure =
  | { code: 'no-handles' }
  | { code: 'too-few'; have: number; need: number; sides: number; rings: number }
  | { code: 'degenerate'; sides: number; rings: number }
  | { code: 'contradictory' }
  /** Nor could it be placed by what it shows alike with the journal's other photographs. */
  | { code: 'not-placed'; why: NotPlaced; own: FitFailure }
  | { code: 'strip'; warning: Warning }

export function fitPhoto(journal: Journal, photo: Photo, lens: LensData | null, warmStart?: Fit): Result<Fit, FitFailure> {
  const observations = observationsOf(journal, photo.handles)
  const surface = surfaceOf(journal)
  const counts = countHandles(observations)
  if (observations.length === 0) return failed({ code: 'no-handles' })
  const priors = lensPriors(photo, lens, surface)
  const rollKnown = observations.some((o) => o.type === 'point')
  const slideKnown = rollKnown || observations.some((o) => o.type === 'circle')
  const unknowns = freeUnknowns(rollKnown, slideKnown, priors)
  const have = scalarCount(observations)
  const need = 4 + (rollKnown ? 1 : 0) + (slideKnown ? 1 : 0)
  if (have < need) return failed({ code: 'too-few', have, need, sides: counts.sides, rings: counts.rings })
  // one circle alone is seen alike from two places
  if (counts.sides === 0 && counts.rings < 2 && !rollKnown) return failed({ code: 'degenerate', ...counts })

  const pickSigmaPx = photo.pickSigmaPx ?? defaultPickSigmaPx(photo.width)
  const whole: FitTask = { observations, priors, unknowns, pickSigmaPx }
  const k1 = photo.k1 ?? 0
  const startLens = { width: photo.width, height: photo.height, focalPx: priors.startFocalPx, k1 }
  const warm = warmStart && {
    base: { ...baseOf(warmStart.camera, surface), width: photo.width, height: photo.height },
    signs: warmStart.contourSigns,
  }
  const startsFor = (picks: readonly Observation[]) => fitStarts(surface, picks, startLens)
  const first = bestEnd(whole, startsFor(observations), surface, warm)
  if (!first) return failed({ code: 'contradictory' })
  // a point that is left out may still be all that tells the roll
  const refit: Refit = (part, from, afresh) =>
    afresh
      ? bestEnd(part, startsFor(observations.filter((o, i) => o.type === 'point' || !part.leftOut?.[i])), surface)
      : followOn(part, from, surface)
  const sifted = withoutGrossErrors(whole, first, refit, !warm)
  const { task, end } = sifted

  const { state, contourSigns } = end
  const base = baseOf(state.camera, state.surface)
  const atBest = stateAt(base, new Float64Array(unknownCount))
  const reading = emptyReading()
  const measured = observations.map((o) => measure(atBest, o, contourSigns, reading))
  const scalars = whitenedScalars(task, atBest, contourSigns)
  if (!scalars || measured.some((m) => m === null)) return failed({ code: 'contradictory' })
  const information = informationOf(task, atBest, scalars)
  const covariance = inverseOfPositiveDefinite(information, unknowns.length)
  if (!covariance) return failed({ code: 'degenerate', ...counts })
  const bare = {
    ...(slideKnown ? { camera: state.camera, surface: state.surface } : endless(state)),
    rollKnown,
    slideKnown,
    senseKnown: !slideKnown || tellsFrontFromRear(observations),
    pickSigmaPx,
    unknowns,
    covariance,
    contourSigns,
    ...residualsOf(task, atBest, measured as Measured[], covariance),
  }
  const quality = fitQuality(bare)
  if (!quality.determined) return failed({ code: 'degenerate', ...counts })
  const fit = { ...bare, sigmas: quality.sigmas, trusted: quality.trusted, residualsWithinRange: quality.residualsWithinRange }
  return done({ ...fit, warnings: fitWarnings(fit, quality, photo, sifted) })
}

/** Where nothing tells the place along the axis, the ends cannot be placed: a long bare cylinder about the same middle. */
export function endless({ camera, surface }: FitState): { camera: Camera; surface: Surface } {
  const width = 40 * surface.radius
  const bare = surfaceOf({ diameter: 2 * surface.radius, width, fillets: { front: { form: 'step' }, rear: { form: 'step' } } })
  const shift = apply(camera.rotation, [0, 0, (surface.width - width) / 2])
  return { camera: { ...camera, translation: add(camera.translation, shift) }, surface: bare }
}

function countHandles(observations: readonly Observation[]): { sides: number; rings: number } {
  const sides = new Set(observations.flatMap((o) => (o.handle.kind === 'side' ? [o.handle.list] : []))).size
  const rings = new Set(observations.flatMap((o) => (o.handle.kind === 'ring' ? [o.handle.ring] : []))).size
  return { sides, rings }
}
