/**
 * A photograph whose handles do not fix the view, placed on the map by what it shows alike with photographs that are placed:
 * candidates over the whole map, each drawn tight, and the one taken that most of its patches agree on. A close-up laid wrongly is
 * worse than one not laid at all: where patches are few, most find nothing alike, or a second place is nearly as good, it is refused.
 */
import type { Surface } from '../journal/surface'
import type { Journal } from '../model/journal'
import { defaultPickSigmaPx, type Photo } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import type { Camera } from './camera'
import { closeUpCamera, type Lens } from './close-up-camera'
import { type CloseUpReference, type Refined, refineCloseUp } from './close-up-refine'
import { type CloseUpCandidate, closeUpCandidates } from './close-up-search'
import type { CloseUpView } from './close-up-strip'
import type { NotPlaced } from './cylinder-fit'
import { baseOf, stateAt, unknownCount, unknownIndex } from './fit-state'
import { type FitTask, freeUnknowns } from './fit-task'
import type { GreyLevel } from './grey-picture'
import type { JointPhoto } from './joint-fit'
import { layDirections } from './lay-direction'
import { type LensData, type LensPriors, lensPriors, type Prior } from './lens-priors'
import { observationsOf } from './observation'
import { outlinesOf } from './outline'
import { type MapSpectra, mapSpectra } from './plane-correlation'
import { meanTexture, type TextureStrip, turnedStrip } from './texture'
import type { TiePatch } from './tie-points'

export type CloseUp = { photo: Photo; lens: LensData | null; levels: readonly GreyLevel[] }

export type PlacedCloseUp = {
  photo: Photo
  lens: LensData | null
  joint: JointPhoto
  /** The camera that `inSecond` of the ties was rolled out with. */
  rolledWith: Camera
  /** With each placed photograph, in the order of the reference; `inFirst` in the journal's own angles. */
  ties: TiePatch[][]
}

/** What close-ups are compared with. */
export type PlacedMap = CloseUpReference & { surface: Surface; spectra: MapSpectra }

/** `turn`: to be added to the strips' own angles, radians. */
export function placedMap(
  surface: Surface,
  placed: readonly { strip: TextureStrip; coarse: TextureStrip | null; turn: number }[],
): PlacedMap {
  const coarse = meanTexture(placed.flatMap((one) => (one.coarse ? [turnedStrip(one.coarse, one.turn)] : [])))
  return { surface, coarse, spectra: mapSpectra(coarse), fine: placed.map(({ strip, turn }) => turnedStrip(strip, turn)) }
}

const candidatesTried = 6
/** Patches that must agree with one photograph, of all that both show; and how broad they must lie, mm. */
const leastAgreeing = 6
const leastAgreeingShare = 0.5
const leastBreadthMm = 5
/** A second place with this share of the first one's agreeing patches leaves it open which is right. */
const rivalShare = 0.5
const leans = [
  [[0, 0]],
  [
    [0.45, 0],
    [-0.45, 0],
    [0, 0.45],
    [0, -0.45],
  ],
] as const
const laySide = 400

export function placeCloseUp(journal: Journal, map: PlacedMap, { photo, lens, levels }: CloseUp): Result<PlacedCloseUp, NotPlaced> {
  const { surface } = map
  const priors = closeUpPriors(photo, lens, surface)
  const task: FitTask = {
    observations: observationsOf(journal, photo.handles),
    priors,
    unknowns: freeUnknowns(true, true, priors).sort((a, b) => a - b),
    pickSigmaPx: photo.pickSigmaPx ?? defaultPickSigmaPx(photo.width),
  }
  const view: CloseUpView = { levels, outlines: outlinesOf(photo.ignore) }
  const start: Lens = { width: photo.width, height: photo.height, focalPx: priors.startFocalPx, k1: photo.k1 ?? 0 }
  const lay = layDirections(levels.find(({ width, height }) => Math.max(width, height) <= laySide) ?? levels[levels.length - 1])
  for (const lean of leans) {
    const search = { surface, map: map.spectra, view, lens: start, lay, observations: task.observations, leans: lean }
    const standing = closeUpCandidates(search, candidatesTried).flatMap((candidate) => refined(map, view, task, start, candidate))
    const [best, second] = standing.sort((a, b) => agreeingIn(b) - agreeingIn(a))
    if (!best) continue
    if (second && agreeingIn(second) > rivalShare * agreeingIn(best) && !samePlace(surface, best, second)) return failed('ambiguous')
    return done({ photo, lens, joint: best.photo, rolledWith: cameraOf(best.photo), ties: best.ties })
  }
  return failed('too-little-alike')
}

/** Without EXIF a close-up may well be zoomed: twice the usual focal length, either half or double that (one sigma, from memory). */
function closeUpPriors(photo: Photo, lens: LensData | null, surface: Surface): LensPriors {
  const usual = lensPriors(photo, lens, surface)
  if (usual.focalFrom !== 'solved') return usual
  const startFocalPx = 2 * usual.startFocalPx
  const row = new Float64Array(unknownCount)
  row[unknownIndex.logFocal] = 1 / Math.LN2
  const prior: Prior = {
    unknown: unknownIndex.logFocal,
    evaluate: ({ camera }) => ({ residual: Math.log(camera.focalPx / startFocalPx) / Math.LN2, row }),
  }
  return { ...usual, startFocalPx, list: usual.list.map((one) => (one.unknown === unknownIndex.logFocal ? prior : one)) }
}

function refined(map: PlacedMap, view: CloseUpView, task: FitTask, lens: Lens, { pose }: CloseUpCandidate): Refined[] {
  const base = baseOf(closeUpCamera(map.surface, pose, lens), map.surface)
  const found = refineCloseUp(map.surface, view, { task, base, contourSigns: [1, -1] }, map)
  return found && stands(map.surface, found) ? [found] : []
}

function stands(surface: Surface, { ties, tried }: Refined): boolean {
  const convincing = ties.some((agreeing, i) => agreeing.length >= leastAgreeing && agreeing.length >= leastAgreeingShare * tried[i])
  const all = ties.flat()
  if (!convincing) return false
  const from = all[0].inFirst.theta
  const around = all.map(({ inFirst }) => surface.radius * wrapped(inFirst.theta - from))
  const along = all.map(({ inFirst }) => inFirst.s)
  return Math.max(...around) - Math.min(...around) >= leastBreadthMm && Math.max(...along) - Math.min(...along) >= leastBreadthMm
}

function agreeingIn({ ties }: Refined): number {
  return ties.reduce((sum, { length }) => sum + length, 0)
}

/** Whether two ends of the search are one: cameras at one place that look the same way. */
function samePlace(surface: Surface, one: Refined, other: Refined): boolean {
  const [a, b] = [cameraOf(one.photo), cameraOf(other.photo)]
  const turn = a.rotation.reduce((sum, value, i) => sum + (value - b.rotation[i]) ** 2, 0)
  return turn < 0.02 && Math.hypot(...a.translation.map((value, i) => value - b.translation[i])) < 0.1 * surface.radius
}

function cameraOf({ base }: JointPhoto): Camera {
  return stateAt(base, new Float64Array(unknownCount)).camera
}

function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI))
}
