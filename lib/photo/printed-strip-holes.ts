/**
 * Which of the rims found in the pictures are those of oil holes that a person picked: once the strip gives every photograph's
 * camera, one pick tells within its own noise where the hole must be seen in all of them. The pick stays what it is; rims that
 * lie elsewhere than it says are left out and named.
 */
import { quadraticForm } from '../journal/quadratic-form'
import { norm } from '../journal/vector'
import type { Journal } from '../model/journal'
import { type FitState, unknownIndex } from './fit-state'
import type { FitTask } from './fit-task'
import { measure, observationOf, type Observation } from './observation'
import type { StripEntry } from './printed-strip-fit'
import type { StripRim } from './printed-strip-mouths'
import type { PhotoRim, StripPhoto, StripSolution } from './printed-strip-solve'
import { inPicture, seenPlace } from './printed-strip-wrap'

export type RimCheck = {
  /** For each photograph. */
  used: PhotoRim[][]
  /** A hole whose rims in the pictures lie elsewhere than the hand picks say, the photographs with these picks, and how far off, mm. */
  against: { holeId: string; photoIds: string[]; offMm: number } | null
}

/** Beyond so many deviations rim and pick are two things (common practice, no source). */
const gateSigmas = 4
/** A rim counts only where both it and the place predicted for it are known at least so well, mm. */
const mostSigmaMm = 0.08
/** How far along the axis a hole may lie from its typed place, mm. */
const typedSlackMm = 0.3
/** A rim this many gates from where the pick puts it may still be that hole. */
const nearGates = 6

/** `covariance`: of the task's unknowns. */
type Seen = { entry: StripEntry; task: FitTask; state: FitState; covariance: Float64Array }

/** By the cameras of codes and hand picks alone. */
export function rimsOfPickedHoles(journal: Journal, photos: readonly Seen[]): RimCheck {
  const used: PhotoRim[][] = photos.map(() => [])
  let against: RimCheck['against'] = null
  for (const { id: holeId, angleDeg, axial } of journal.oilHoles) {
    const place = { theta: (angleDeg * Math.PI) / 180, axial }
    const picked = photos.filter(({ task }) => pickOf(task, holeId))
    if (picked.length === 0) continue
    const matches = photos.flatMap((photo, at) => {
      const match = nearestRim(photo, journal, holeId)
      return match ? [{ at, ...match }] : []
    })
    const agreeing = matches.filter(({ offPx, gatePx }) => offPx <= gatePx)
    const off = matches.filter(({ offPx, gatePx }) => offPx > gatePx)
    if (agreeing.length < off.length) {
      const photoIds = picked.map(({ entry }) => entry.photo.id)
      against = { holeId, photoIds, offMm: Math.min(...off.map(({ offPx, pxPerMm }) => offPx / pxPerMm)) }
      continue
    }
    for (const { at, rim } of agreeing) used[at].push({ ...place, holeId, seen: { u: rim.u, v: rim.v }, sigmaPx: rim.sigmaPx })
  }
  return { used, against }
}

/** After rims and picks were solved together: null where every picked hole still lies within its own noise. */
export function rimsAgainstPicks(
  photos: readonly { entry: StripEntry; photo: StripPhoto }[],
  solution: StripSolution,
): RimCheck['against'] {
  for (const [i, { entry, photo }] of photos.entries()) {
    const { state } = solution.photos[i]
    for (const observation of photo.task.observations) {
      const { handle } = observation
      if (
        observation.type !== 'point' ||
        handle.kind !== 'oilHole' ||
        !photos.some((one) => one.photo.rims.some((rim) => rim.holeId === handle.id))
      )
        continue
      const shifted = { ...observation, axial: observation.axial + (solution.holeShifts.get(handle.id) ?? 0) }
      const measured = measure(state, shifted, photo.contourSigns)
      const offPx = measured ? Math.hypot(...measured.residualsPx) : Number.POSITIVE_INFINITY
      if (offPx > gateSigmas * photo.task.pickSigmaPx)
        return { holeId: handle.id, photoIds: [entry.photo.id], offMm: offPx / (pxPerMmOf(state, observation) ?? 1) }
    }
  }
  return null
}

function isOf({ handle }: Observation, holeId: string): boolean {
  return handle.kind === 'oilHole' && handle.id === holeId
}

function pickOf({ observations }: FitTask, holeId: string): Observation | undefined {
  return observations.find((observation) => isOf(observation, holeId))
}

/**
 * Null where none is near, or where the photograph itself tells too little of where the hole must be: a rim refines what codes and
 * picks say, it never carries a camera that hangs on few codes.
 */
function nearestRim(
  { entry, task, state, covariance }: Seen,
  journal: Journal,
  holeId: string,
): { rim: StripRim; offPx: number; gatePx: number; pxPerMm: number } | null {
  const place = observationOf(journal, { kind: 'oilHole', index: 0, id: holeId }, { u: 0, v: 0 })
  const measured = place && measure(state, place, [1, -1])
  const pxPerMm = place && pxPerMmOf(state, place)
  if (!measured?.facing || !pxPerMm) return null
  const rows = measured.rows.map((row) => task.unknowns.map((slot) => row[slot]))
  const predictedPx = Math.sqrt(Math.max(...rows.map((row) => quadraticForm(covariance, row))))
  // where the photograph has a pick of its own, rim and pick are compared themselves
  const pick = pickOf(task, holeId)
  const expected = pick ?? measured.nearest
  const [alongU, alongV] = measured.rows.map((row) => row[unknownIndex.slide])
  const distance = ({ u, v }: StripRim) => {
    const [du, dv] = [u - expected.u, v - expected.v]
    const alongMm = (du * alongU + dv * alongV) / (alongU ** 2 + alongV ** 2)
    const typedOffMm = pick ? 0 : Math.max(-typedSlackMm, Math.min(typedSlackMm, alongMm))
    return Math.hypot(du - typedOffMm * alongU, dv - typedOffMm * alongV)
  }
  const [rim] = entry.rims.filter((one) => one.holeId === holeId).sort((a, b) => distance(a) - distance(b))
  if (!rim || Math.max(predictedPx, rim.sigmaPx) > mostSigmaMm * pxPerMm) return null
  const gatePx = gateSigmas * Math.hypot(pick ? task.pickSigmaPx : predictedPx, rim.sigmaPx)
  return distance(rim) > nearGates * gatePx ? null : { rim, offPx: distance(rim), gatePx, pxPerMm }
}

/** Along the axis and around, the greater. */
function pxPerMmOf(state: FitState, observation: Observation): number | null {
  if (observation.type !== 'point') return null
  const { theta, axial } = observation
  const { radius } = state.surface
  const seen = seenPlace(state, [radius * Math.cos(theta), radius * Math.sin(theta), axial])
  if (!seen) return null
  const along = inPicture(seen, [0, 0, 1])
  const around = inPicture(seen, [-Math.sin(theta), Math.cos(theta), 0])
  return Math.max(norm([...along, 0]), norm([...around, 0]))
}
