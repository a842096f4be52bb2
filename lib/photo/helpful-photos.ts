/**
 * How certain another photograph of the same journal would be by itself: the same lens, the journal filling the picture, from square on or
 * leaning towards an end, with a whole set of handles picked as finely. Worked out from the information that those picks would carry (J'J), before any is taken.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import { cameraPlace } from './camera'
import type { Fit } from './cylinder-fit'
import { expectedPoint, expectedRing, expectedSides } from './expected-picks'
import { type FitSigmas, midJournalSigmas } from './fit-quality'
import { baseOf, stateAt, unknownCount, unknownIndex } from './fit-state'
import { type FitTask, informationOf, whitenedScalars } from './fit-task'
import { type Observation, observationOf } from './observation'
import { cameraAt } from './standpoint'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

export type HelpfulPhoto = { leanDeg: number; sigmas: FitSigmas }

/** Degrees from square on, towards the rear. */
const leans = [-30, -15, 0, 15, 30]
const sidePoints = 5
const ringPoints = 7

export function helpfulPhotos(journal: Journal, fit: Fit): HelpfulPhoto[] {
  const surface = surfaceOf(journal)
  const [x, y] = cameraPlace(fit.camera)
  const facingDeg = (Math.atan2(y, x) * 180) / Math.PI
  const lens = lensInformation(journal, fit)
  const unknowns = [...new Set([...fit.unknowns, unknownIndex.slide])].sort((a, b) => a - b)
  return leans.flatMap((leanDeg): HelpfulPhoto[] => {
    const plain = cameraAt(surface, fit.camera, { facingDeg, leanDeg, nearness: 'whole' })
    const view = { camera: { ...plain, k1: fit.camera.k1 }, surface, contourSigns: [1, -1] as const, slideKnown: true }
    const holes = fit.rollKnown ? journal.oilHoles : []
    const observations = [
      ...expectedSides(view, sidePoints).flat(),
      ...expectedRing(view, 'front-fillet', ringPoints),
      ...expectedRing(view, 'rear-fillet', ringPoints),
      ...holes.flatMap((hole) => expectedPoint(view, 'oilHole', hole.id, (hole.angleDeg * Math.PI) / 180, hole.axial)),
    ]
    const rollKnown = observations.some((o) => o.type === 'point')
    const free = unknowns.filter((slot) => slot !== unknownIndex.roll || rollKnown)
    const task = taskOf(fit, observations, free)
    const state = stateAt(baseOf(view.camera, surface), new Float64Array(unknownCount))
    const scalars = whitenedScalars(task, state, view.contourSigns)
    if (!scalars) return []
    const information = informationOf(task, state, scalars)
    free.forEach((slot, k) => {
      information[k * (free.length + 1)] += lens.get(slot) ?? 0
    })
    const covariance = inverseOfPositiveDefinite(information, free.length)
    if (!covariance) return []
    const sigmas = midJournalSigmas({ ...view, unknowns: free, covariance, rollKnown, slideKnown: true })
    return Number.isFinite(sigmas.angleDeg) ? [{ leanDeg, sigmas }] : []
  })
}

/** What the priors tell of focal length, k1 and radii: all that the fit knows of them less what its own picks do. */
function lensInformation(journal: Journal, fit: Fit): Map<number, number> {
  const n = fit.unknowns.length
  const whole = inverseOfPositiveDefinite(fit.covariance, n)
  const observations = fit.residuals.flatMap(({ handle, pick }) => observationOf(journal, handle, pick) ?? [])
  const task = taskOf(fit, observations, fit.unknowns)
  const state = stateAt(baseOf(fit.camera, fit.surface), new Float64Array(unknownCount))
  const scalars = whitenedScalars(task, state, fit.contourSigns)
  if (!whole || !scalars) return new Map()
  const picked = informationOf(task, state, scalars)
  return new Map(
    fit.unknowns.flatMap((slot, k): [number, number][] => {
      const at = k * (n + 1)
      return slot < unknownIndex.logFocal ? [] : [[slot, Math.max(0, whole[at] - picked[at])]]
    }),
  )
}

function taskOf(fit: Fit, observations: readonly Observation[], unknowns: readonly number[]): FitTask {
  return { observations, priors: { startFocalPx: fit.camera.focalPx, focalFrom: 'file', list: [] }, unknowns, pickSigmaPx: fit.pickSigmaPx }
}
