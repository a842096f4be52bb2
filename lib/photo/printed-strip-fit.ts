/**
 * All photographs of a journal that show its printed strip: each against the strip alone, then all together with every hand
 * pick in them, sharing where the strip begins, its skew and its scale. What comes out is a fit like any other, its covariance
 * holding what the shared unknowns leave open.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import { defaultPickSigmaPx, type Photo } from '../model/photo'
import { baseOf, stateAt, unknownCount, unknownIndex } from './fit-state'
import { type ContourSigns, type FitTask, freeUnknowns } from './fit-task'
import { type LensData, lensPriors } from './lens-priors'
import { measure, observationsOf } from './observation'
import type { StripLie } from './printed-strip-corners'
import { type StripDesign, stripDesign } from './printed-strip-design'
import { type RimCheck, rimsAgainstPicks, rimsOfPickedHoles } from './printed-strip-holes'
import type { StripMarker } from './printed-strip-markers'
import type { StripRim } from './printed-strip-mouths'
import { shiftedBase, shiftToPicks } from './printed-strip-reference'
import { noiseOf, type StripSight, type StripView, seenMarkers, sightOfStrip, skewSigmaMm } from './printed-strip-sight'
import { type PlacementPriors, type StripPhoto, type StripSolution, solveStrip } from './printed-strip-solve'
import type { StripPlacement, StripSeat } from './printed-strip-wrap'

/** `markers` null: the picture could not be looked at. */
export type StripEntry = { photo: Photo; lens: LensData | null; markers: readonly StripMarker[] | null; rims: readonly StripRim[] }

/** What was found in a picture: the strip's codes, and rims that may be those of oil holes. */
export type FoundStrip = { markers: readonly StripMarker[]; rims: readonly StripRim[] }

/** By photo id. */
export type FoundStrips = ReadonlyMap<string, FoundStrip>

/** The photographs among some of one journal that show its strip: with the codes that the file gives, or those found. */
export function stripEntries(photos: readonly Photo[], found: FoundStrips, lensOf: (photo: Photo) => LensData | null): StripEntry[] {
  return photos.flatMap((photo): StripEntry[] => {
    const { strip } = photo.handles
    if (strip === null) return []
    const lens = lensOf(photo)
    if (strip !== 'find') return [{ photo, lens, markers: strip.markers.map(givenMarker), rims: [] }]
    const { markers, rims } = found.get(photo.id) ?? { markers: null, rims: [] }
    return [{ photo, lens, markers, rims }]
  })
}

function givenMarker({ id, corners }: { id: number; corners: readonly (readonly [number, number])[] }): StripMarker {
  const [a, b, c, d] = corners.map(([u, v]) => ({ u, v }))
  return { id, corners: [a, b, c, d] }
}

/** What one photograph says of the strip, before all are put together. */
export type EntrySight =
  | { entry: StripEntry; state: 'fits'; sight: StripSight; seen: number }
  | { entry: StripEntry; state: 'no-picture' | 'not-seen' | 'another-strip' | 'no-camera' }

export type StripJoint = {
  seat: StripSeat
  solution: StripSolution
  /** In the order of the solution. */
  photos: { entry: StripEntry; sight: StripSight; seen: number; photo: StripPhoto }[]
  /** What tells where the strip begins: hand picks, what was typed, or nothing. */
  turnFrom: 'picks' | 'typed' | null
  slideFrom: 'picks' | 'typed' | null
  /** The scale before it was held to that of a strip that closes. */
  openScale: { value: number; sigma: number }
  scaleHeld: boolean
  /** What was made of the rims of oil holes: those that count stand with each photograph. */
  rimCheck: RimCheck
}

/** The strip that a journal says it wears; one for its own diameter where the file is silent. Null where none is made. */
export function seatOf(journal: Journal): StripSeat | null {
  const { strip } = journal
  const design = stripDesign(strip?.diameter ?? journal.diameter, strip?.thickness)
  return design && { design, journalRadius: journal.diameter / 2, toFront: strip?.toFront ?? 'front' }
}

/** A strip beginning at angle zero by the front tangent line: the frame that a photograph alone is fitted in. */
export const loosePlacement = (journal: Journal): StripPlacement => ({
  zeroAngle: 0,
  frontEdge: surfaceOf(journal).frontTangentZ + 1,
  skew: 0,
  scale: 1,
})

export function viewOf(journal: Journal, photo: Photo, lens: LensData | null): StripView {
  const priors = lensPriors(photo, lens, surfaceOf(journal))
  const task: FitTask = {
    observations: observationsOf(journal, photo.handles),
    priors,
    unknowns: freeUnknowns(true, true, priors),
    pickSigmaPx: photo.pickSigmaPx ?? defaultPickSigmaPx(photo.width),
  }
  const focalKnown = priors.focalFrom !== 'solved'
  return { task, lens: { width: photo.width, height: photo.height, focalPx: priors.startFocalPx, focalKnown, k1: photo.k1 ?? 0 } }
}

/** `scale`: what the print's is taken to be. */
export function entrySight(journal: Journal, seat: StripSeat, entry: StripEntry, scale: number): EntrySight {
  if (entry.markers === null) return { entry, state: 'no-picture' }
  const seen = seenMarkers(seat.design, entry.markers)
  if (seen.length === 0) return { entry, state: entry.markers.length > 0 ? 'another-strip' : 'not-seen' }
  const sight = sightOfStrip(
    seat,
    surfaceOf(journal),
    { ...loosePlacement(journal), scale },
    seen,
    viewOf(journal, entry.photo, entry.lens),
  )
  return sight ? { entry, state: 'fits', sight, seen: seen.length } : { entry, state: 'no-camera' }
}

/** Deviation of a place that a person measured on the journal with a rule and typed, mm (common practice, no source). */
const typedSigmaMm = 0.3
/** Holds an unknown that nothing tells: it then only names the frame. */
const frameSigma = 1e-6
/** The same where picks tell it. */
const openSigma = 1e3
/** Of a print's scale: of one at 100 % whose strip closes, and before that is known. */
const closedScaleSigma = 0.002
const openScaleSigma = 0.03
const leastNoise = 0.2

/** Null where the photographs together have no solution. */
export function solveTogether(journal: Journal, seat: StripSeat, sights: readonly (EntrySight & { state: 'fits' })[]): StripJoint | null {
  const surface = surfaceOf(journal)
  const views = sights.map(({ entry }) => viewOf(journal, entry.photo, entry.lens))
  const picked = shiftToPicks(
    surface,
    sights.map(({ sight }, i) => ({ base: sight.base, observations: views[i].task.observations })),
  )
  const loose = loosePlacement(journal)
  const typedTurn = journal.strip?.zeroAngleDeg ?? null
  const typedEdge = journal.strip?.frontEdge ?? null
  const turn = picked.turn ?? (typedTurn === null ? 0 : (typedTurn * Math.PI) / 180 - loose.zeroAngle)
  const slide = picked.slide ?? (typedEdge === null ? 0 : typedEdge - loose.frontEdge)
  const turnFrom = picked.turn !== null ? 'picks' : typedTurn !== null ? 'typed' : null
  const slideFrom = picked.slide !== null ? 'picks' : typedEdge !== null ? 'typed' : null
  const begin: StripPlacement = { ...loose, zeroAngle: loose.zeroAngle + turn, frontEdge: loose.frontEdge + slide }
  const sigmaOf = (from: 'picks' | 'typed' | null, typed: number) => (from === 'picks' ? openSigma : from === 'typed' ? typed : frameSigma)
  const priorsWith = (scale: { value: number; sigma: number }): PlacementPriors => ({
    value: { ...begin, skew: 0, scale: scale.value },
    sigma: {
      zeroAngle: sigmaOf(turnFrom, typedSigmaMm / surface.radius),
      frontEdge: sigmaOf(slideFrom, typedSigmaMm),
      skew: skewSigmaMm,
      scale: scale.sigma,
    },
  })
  const photos = sights.map(({ sight }, i): StripPhoto => {
    const task = { ...views[i].task, unknowns: allUnknowns(views[i].task) }
    const base = shiftedBase(sight.base, turn, slide)
    return {
      task,
      base,
      growth: sight.growth,
      markers: sight.markers,
      noise: Math.max(leastNoise, sight.noise),
      contourSigns: signsOf(task, base),
      rims: [],
    }
  })
  const typedScale = scaleFromGap(journal, seat.design)
  const start: StripLie = { placement: { ...begin, ...averaged(sights) }, shifts: new Map() }
  const open = solveStrip(seat, photos, start, priorsWith(typedScale ?? { value: 1, sigma: openScaleSigma }))
  if (!open) return null
  const openScale = { value: open.placement.scale, sigma: open.scaleSigma }
  const scaleHeld = typedScale === null && Math.abs(openScale.value - 1) <= 3 * Math.hypot(openScale.sigma, closedScaleSigma)
  const priors = priorsWith(typedScale ?? { value: 1, sigma: scaleHeld ? closedScaleSigma : openScaleSigma })
  const settledPhotos = continued(photos, open).map((photo, i) => ({
    ...photo,
    noise: Math.max(leastNoise, noiseOf(seat, photo.markers, open, i)),
  }))
  const jointWith = (rimCheck: RimCheck): StripJoint | null => {
    const withRims = settledPhotos.map((photo, i) => ({ ...photo, rims: rimCheck.used[i] }))
    const solution = solveStrip(seat, withRims, open, priors)
    const own = sights.map(({ entry, sight, seen }, i) => ({ entry, sight, seen, photo: withRims[i] }))
    return solution && { seat, solution, photos: own, turnFrom, slideFrom, openScale, scaleHeld, rimCheck }
  }
  const rimCheck = rimsOfPickedHoles(
    journal,
    sights.map(({ entry }, i) => ({
      entry,
      task: settledPhotos[i].task,
      state: open.photos[i].state,
      covariance: open.photos[i].covariance,
    })),
  )
  const joint = jointWith(rimCheck)
  const against = joint && rimsAgainstPicks(joint.photos, joint.solution)
  return against ? jointWith({ used: sights.map(() => []), against }) : joint
}

function allUnknowns({ unknowns }: FitTask): number[] {
  return [...new Set([...unknowns, unknownIndex.roll, unknownIndex.slide])].sort((a, b) => a - b)
}

/** What the gap at the closing mark says of the scale: as read with a rule. */
export function scaleFromGap(journal: Journal, design: StripDesign): { value: number; sigma: number } | null {
  const gap = journal.strip?.gapMm ?? null
  if (gap === null) return null
  const round = Math.PI * (journal.diameter + design.thickness)
  return { value: (round - gap) / design.length, sigma: Math.max(0.0005, typedSigmaMm / design.length) }
}

function averaged(sights: readonly { sight: StripSight }[]): { skew: number; scale: number } {
  const median = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1]
  return { skew: median(sights.map(({ sight }) => sight.placement.skew)), scale: median(sights.map(({ sight }) => sight.placement.scale)) }
}

function continued(photos: readonly StripPhoto[], { photos: ends }: StripSolution): StripPhoto[] {
  return photos.map((photo, i) => ({ ...photo, base: baseOf(ends[i].state.camera, ends[i].state.surface), growth: ends[i].growth }))
}

/** Which list of side points lies on which side of the axis. */
function signsOf(task: FitTask, base: StripPhoto['base']): ContourSigns {
  const state = stateAt(base, new Float64Array(unknownCount))
  const sides = task.observations.filter((o) => o.type === 'contour')
  const costOf = (signs: ContourSigns) =>
    sides.reduce((sum, o) => sum + Math.hypot(...(measure(state, o, signs)?.residualsPx ?? [Number.POSITIVE_INFINITY])), 0)
  return costOf([1, -1]) <= costOf([-1, 1]) ? [1, -1] : [-1, 1]
}
