/**
 * Fits of the photographs that show a journal's printed strip, with what a person should know of it: not found, another
 * strip, printed too small or leaving a gap, or lying nobody knows where.
 */
import type { Warning } from '../model/findings'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import { endless, type Fit, type FitFailure, fitPhoto, type StripOfFit } from './cylinder-fit'
import { fitQuality } from './fit-quality'
import { residualsOf } from './fit-residuals'
import { unknownIndex } from './fit-state'
import { fitWarnings } from './fit-warnings'
import { type Measured, measure } from './observation'
import { chiSquare99 } from './quantiles'
import { markerCorners } from './printed-strip-design'
import { type EntrySight, entrySight, scaleFromGap, seatOf, type StripEntry, type StripJoint, solveTogether } from './printed-strip-fit'
import { stripOutlines } from './printed-strip-outline'
import { noiseOf } from './printed-strip-sight'
import { jointWarnings, noReference, noStrip, picksAgainst, rimWarnings, scaleUnsure, stripDisagrees } from './printed-strip-warnings'
import { seenPlace, wrappedPoint } from './printed-strip-wrap'

/** By photo id. A photograph without a strip keeps the fit of its hand picks, with a warning. */
export function fitStripPhotos(journal: Journal, entries: readonly StripEntry[]): Map<string, Result<Fit, FitFailure>> {
  const fits = new Map<string, Result<Fit, FitFailure>>()
  const seat = seatOf(journal)
  const sightsAt = (scale: number) =>
    entries.map((entry): EntrySight => (seat ? entrySight(journal, seat, entry, scale) : { entry, state: 'no-camera' }))
  let sights = sightsAt((seat && scaleFromGap(journal, seat.design)?.value) ?? 1)
  let joint = seat && jointOf(journal, seat, sights)
  if (joint && !joint.scaleHeld) {
    // a print of another size: what did not seem to agree at 100 % may agree now
    sights = sightsAt(joint.solution.placement.scale)
    joint = jointOf(journal, joint.seat, sights) ?? joint
  }
  const contradiction = joint && contradictionOf(journal, joint, sights)
  for (const sight of sights) {
    const { photo, lens } = sight.entry
    const at = joint?.photos.findIndex(({ entry }) => entry.photo.id === photo.id) ?? -1
    const fit = joint && at >= 0 ? stripFit(journal, joint, at, contradiction) : null
    fits.set(
      photo.id,
      fit ? done(fit) : withoutStrip(journal, photo, lens, seat === null ? 'no-design' : sight.state === 'fits' ? 'too-few' : sight.state),
    )
  }
  return fits
}

/** Beyond this noise, in usual corners, codes and strip do not agree. */
const mostNoise = 10

function jointOf(journal: Journal, seat: StripJoint['seat'], sights: readonly EntrySight[]): StripJoint | null {
  let usable = sights.filter((one) => one.state === 'fits')
  for (;;) {
    if (usable.length === 0) return null
    const joint = solveTogether(journal, seat, usable)
    if (!joint) return null
    const noises = joint.photos.map(({ photo }, i) => noiseOf(seat, photo.markers, joint.solution, i))
    const worst = noises.indexOf(Math.max(...noises))
    if (noises[worst] <= mostNoise || usable.length === 1) return joint
    usable = usable.filter((_, i) => i !== worst)
  }
}

/**
 * Null where the hand picks that place the strip go with it. Else a warning for every photograph, since all take their
 * place from those picks; it says whether they would go with a strip that lies the other way round.
 */
function contradictionOf(journal: Journal, joint: StripJoint, sights: readonly EntrySight[]): Warning | null {
  const against = photosAgainst(joint)
  if (against.length === 0) return null
  const { seat } = joint
  const turned: StripJoint['seat'] = { ...seat, toFront: seat.toFront === 'front' ? 'rear' : 'front' }
  const other = jointOf(
    journal,
    turned,
    sights.map(({ entry }) => entrySight(journal, turned, entry, joint.solution.placement.scale)),
  )
  return picksAgainst(against, other !== null && photosAgainst(other).length === 0)
}

/** Names of the photographs whose hand picks are far beyond their 99 % range: a picture just beyond it is not trusted by itself alone. */
function photosAgainst(joint: StripJoint): string[] {
  return joint.photos.flatMap(({ entry }, at) => {
    const picks = picksOf(joint, at)
    return picks && picks.degreesOfFreedom > 0 && picks.chiSquare > farBeyond * chiSquare99(picks.degreesOfFreedom) ? [entry.photo.id] : []
  })
}

const farBeyond = 2

/** Residuals of a photograph's hand picks, priors aside: a long lens contradicts no handle. Null where one cannot be seen. */
function picksOf({ photos, solution }: StripJoint, at: number) {
  const { photo } = photos[at]
  const { state, covariance } = solution.photos[at]
  const task = { ...photo.task, priors: { ...photo.task.priors, list: [] } }
  const measured = task.observations.map((o) => measure(state, o, photo.contourSigns))
  return measured.some((one) => one === null) ? null : residualsOf(task, state, measured as Measured[], covariance)
}

function withoutStrip(
  journal: Journal,
  photo: Photo,
  lens: StripEntry['lens'],
  why: Parameters<typeof noStrip>[0],
): Result<Fit, FitFailure> {
  const warning = noStrip(why)
  const byHand = fitPhoto(journal, photo, lens)
  if (byHand.ok) return done({ ...byHand.value, warnings: [...byHand.value.warnings, warning] })
  return byHand.reason.code === 'no-handles' ? failed({ code: 'strip', warning }) : byHand
}

function stripFit(journal: Journal, joint: StripJoint, at: number, contradiction: Warning | null): Fit | null {
  const { seat, solution } = joint
  const { entry, photo, seen } = joint.photos[at]
  const { state, covariance: whole } = solution.photos[at]
  const rollKnown = joint.turnFrom !== null
  const slideKnown = joint.slideFrom !== null
  const unknowns = photo.task.unknowns.filter(
    (slot) => (rollKnown || slot !== unknownIndex.roll) && (slideKnown || slot !== unknownIndex.slide),
  )
  const covariance = blockOf(whole, photo.task.unknowns, unknowns)
  const picks = picksOf(joint, at)
  if (!picks) return null
  const strip = stripOf(joint, at)
  const noise = noiseOf(seat, photo.markers, solution, at)
  const placed = slideKnown ? { camera: state.camera, surface: state.surface } : endless(state)
  const bare = {
    ...placed,
    rollKnown,
    slideKnown,
    senseKnown: true,
    pickSigmaPx: photo.task.pickSigmaPx,
    unknowns,
    covariance,
    contourSigns: photo.contourSigns,
    ...picks,
    rmsPx: rmsOf(strip, picks),
  }
  const quality = fitQuality(bare)
  if (!quality.determined) return null
  const warnings: Warning[] = [
    ...fitWarnings({ ...bare, trusted: quality.trusted }, quality, entry.photo),
    ...jointWarnings(journal, joint),
    ...rimWarnings(joint, entry.photo),
  ]
  if (!rollKnown || !slideKnown) warnings.push(noReference(rollKnown, slideKnown))
  const disagreeing = contradiction ?? stripDisagrees(journal, joint, { seen, kept: photo.markers.length, noise, mostNoise })
  if (disagreeing) warnings.push(disagreeing)
  return {
    ...bare,
    degreesOfFreedom: picks.degreesOfFreedom + stripScalars(photo.markers.length),
    sigmas: quality.sigmas,
    trusted: quality.trusted && disagreeing === null && !scaleUnsure(joint),
    residualsWithinRange: quality.residualsWithinRange && disagreeing === null,
    warnings,
    strip,
  }
}

/** Eight coordinates a code, of which its own shift takes one, and camera and ink about nine of all. */
function stripScalars(markers: number): number {
  return Math.max(0, 7 * markers - 9)
}

function blockOf(whole: Float64Array, from: readonly number[], to: readonly number[]): Float64Array {
  const at = to.map((slot) => from.indexOf(slot))
  const k = to.length
  const block = new Float64Array(k * k)
  for (let i = 0; i < k; i++) for (let j = 0; j < k; j++) block[i * k + j] = whole[at[i] * from.length + at[j]]
  return block
}

function stripOf({ seat, solution, photos, turnFrom, slideFrom }: StripJoint, at: number): StripOfFit {
  const { placement, shifts } = solution
  const { state, growth } = solution.photos[at]
  const degrees = (placement.zeroAngle * 180) / Math.PI
  return {
    markers: photos[at].photo.markers.map(({ place, corners }) => ({
      id: seat.design.firstId + place,
      corners: [...corners],
      predicted: markerCorners(seat.design, place, growth).map((flat, i) => {
        const seen = seenPlace(state, wrappedPoint(seat, placement, { ...flat, x: flat.x + (shifts.get(place) ?? 0) }).point)
        return seen ? { u: seen.u, v: seen.v } : corners[i]
      }),
    })),
    rims: photos[at].entry.rims.map((rim) => ({
      ...rim,
      used: photos[at].photo.rims.some(({ holeId, seen }) => holeId === rim.holeId && seen.u === rim.u && seen.v === rim.v),
    })),
    outlines: stripOutlines(seat, placement, state),
    scale: placement.scale,
    skewMm: placement.skew,
    frontEdgeMm: slideFrom === null ? null : placement.frontEdge,
    zeroAngleDeg: turnFrom === null ? null : degrees - 360 * Math.floor(degrees / 360),
  }
}

/** Over the picks' residuals and the corners' in u and v. */
function rmsOf(strip: StripOfFit, picks: { rmsPx: number; residuals: readonly { residualPx: number }[] }): number {
  let squares = 0
  let scalars = 0
  for (const { corners, predicted } of strip.markers)
    corners.forEach(({ u, v }, i) => {
      squares += (u - predicted[i].u) ** 2 + (v - predicted[i].v) ** 2
      scalars += 2
    })
  const own = picks.residuals.reduce((sum, { residualPx }) => sum + residualPx ** 2, 0)
  const count = own > 0 ? own / picks.rmsPx ** 2 : 0
  return Math.sqrt((squares + own) / (scalars + count))
}
