/**
 * A photograph whose handles do not fix the view, placed on the map by what it shows alike with photographs that are placed:
 * candidates over the whole map, each drawn tight, and the one taken that most of its patches agree on. A close-up laid wrongly is
 * worse than one not laid at all: where patches are few, most find nothing alike, or a second place is nearly as good, it is refused.
 */
import type { Surface } from '../journal/surface'
import type { Journal } from '../model/journal'
import { defaultPickSigmaPx, type Photo } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import { type Camera, cameraPlace, turnedCamera } from './camera'
import { closeUpCamera, type Lens } from './close-up-camera'
import { type CloseUpReference, type Refined, refineCloseUp } from './close-up-refine'
import { closeUpCandidates } from './close-up-search'
import type { CloseUpView } from './close-up-strip'
import type { Fit, NotPlaced } from './cylinder-fit'
import { baseOf, type FitBase, stateAt, unknownCount, unknownIndex } from './fit-state'
import { type FitTask, freeUnknowns } from './fit-task'
import { freeSlideStarts } from './free-slide'
import type { GreyLevel } from './grey-picture'
import type { JointPhoto } from './joint-fit'
import { layDirections } from './lay-direction'
import { type LensData, type LensPriors, lensPriors, type Prior } from './lens-priors'
import { observationsOf } from './observation'
import { outlinesOf } from './outline'
import { correlationOverMap, type MapSpectra, mapSpectra } from './plane-correlation'
import { meanTexture, type TextureStrip, turnedStrip } from './texture'
import type { TiePatch } from './tie-points'
import { wrapped } from '../journal/wrapped-angle'

/**
 * `own`: where its own handles fix the view but for the angle about the shaft, that fit with its coarse texture; then only the angle is
 * looked for. Without the texture the place along the shaft is looked for as well.
 */
export type CloseUp = {
  photo: Photo
  lens: LensData | null
  levels: readonly GreyLevel[]
  own: { fit: Fit; coarse: TextureStrip | null } | null
}

export type PlacedCloseUp = {
  photo: Photo
  lens: LensData | null
  /** Its own fit, where its handles give one. */
  own: Fit | null
  joint: JointPhoto
  /** The camera that `inSecond` of the ties was rolled out with. */
  rolledWith: Camera
  /** With each placed photograph, in the order of the reference; `inFirst` in the journal's own angles. */
  ties: TiePatch[][]
}

/** What close-ups are compared with. */
export type PlacedMap = CloseUpReference & {
  surface: Surface
  spectra: MapSpectra
  /** Where about the shaft each photograph's camera stands, radians. */
  facing: readonly number[]
}

/** `turn`: to be added to the strips' own angles, radians. */
export function placedMap(
  surface: Surface,
  placed: readonly { strip: TextureStrip; coarse: TextureStrip; turn: number; camera: Camera }[],
): PlacedMap {
  const coarse = meanTexture(placed.map((one) => turnedStrip(one.coarse, one.turn)))
  return {
    surface,
    coarse,
    spectra: mapSpectra(coarse),
    fine: placed.map(({ strip, turn }) => turnedStrip(strip, turn)),
    facing: placed.map(({ camera }) => facingOf(camera)),
  }
}

const candidatesTried = 6
/**
 * Patches that must agree with one photograph, and their share of all that both show: many of them, or most of few and half of those
 * with all photographs together; or many of them with two photographs or more, each of which has a fair number. A patch that holds no more than one edge finds its like in many places: it is the share that tells,
 * not how much alike they are. Of wrong places tried on rendered journals the best had 6 of 16 with one photograph.
 */
const many = { agreeing: 10, share: 0.5 }
const few = { agreeing: 6, share: 0.65, shareWithAll: 0.5 }
const together = { agreeing: 14, shareWithAll: 0.55, each: 5 }
/** How broad agreeing patches must lie, mm. */
const leastBreadthMm = 5
/** A second place with this share of the first one's agreeing patches leaves it open which is right. */
const rivalShare = 0.5
const leans = [
  [[0, 0]],
  [
    [0, 0.45],
    [0, -0.45],
  ],
] as const
const laySide = 400
/** Of a view known but for its angle: how far its slide may be off, what share of it must lie on what the map shows, how far turns lie apart. */
const slideRoomMm = 0.8
const leastOverlap = 0.3
const apartMm = 3
const sameStandpoint = (15 * Math.PI) / 180

export function placeCloseUp(journal: Journal, map: PlacedMap, closeUp: CloseUp): Result<PlacedCloseUp, NotPlaced> {
  const { photo, lens, levels, own } = closeUp
  const { surface } = map
  const priors = own ? lensPriors(photo, lens, surface) : closeUpPriors(photo, lens, surface)
  const task: FitTask = {
    observations: observationsOf(journal, photo.handles),
    priors,
    unknowns: freeUnknowns(true, true, priors).sort((a, b) => a - b),
    pickSigmaPx: photo.pickSigmaPx ?? defaultPickSigmaPx(photo.width),
    leftOut: own?.fit.residuals.map(({ leftOut }) => leftOut),
  }
  const view: CloseUpView = { levels, outlines: outlinesOf(photo.ignore) }
  for (const starts of own ? [ownStarts(map, view, own)] : startsOf(map, view, task, closeUp)) {
    const standing = starts().flatMap((base) => {
      const found = refineCloseUp(surface, view, { task, base, contourSigns: own?.fit.contourSigns ?? [1, -1] }, map)
      const told = found && own ? withoutStandpoint(map, found) : found
      return told && stands(surface, told) ? [told] : []
    })
    const [best, second] = standing.sort((a, b) => agreeingIn(b) - agreeingIn(a))
    if (!best) continue
    if (second && agreeingIn(second) > rivalShare * agreeingIn(best) && !samePlace(surface, best, second)) return failed('ambiguous')
    return done({ photo, lens, own: own?.fit ?? null, joint: best.photo, rolledWith: cameraOf(best.photo), ties: best.ties })
  }
  return failed('too-little-alike')
}

/** Square-on views over the whole map, then leaning ones. */
function startsOf({ surface, spectra }: PlacedMap, view: CloseUpView, task: FitTask, { photo, levels }: CloseUp): (() => FitBase[])[] {
  const start: Lens = { width: photo.width, height: photo.height, focalPx: task.priors.startFocalPx, k1: photo.k1 ?? 0 }
  const lay = layDirections(levels.find(({ width, height }) => Math.max(width, height) <= laySide) ?? levels[levels.length - 1])
  return leans.map((lean) => () => {
    const search = { surface, map: spectra, view, lens: start, lay, observations: task.observations, leans: lean }
    return closeUpCandidates(search, candidatesTried).map(({ pose }) => baseOf(closeUpCamera(surface, pose, start), surface))
  })
}

/** A view known but for its angle about the shaft, at the turns at which its texture lies best on the map; or at the places along it too. */
function ownStarts({ surface, spectra }: PlacedMap, view: CloseUpView, { fit, coarse }: NonNullable<CloseUp['own']>): () => FitBase[] {
  return () => {
    if (!coarse) return freeSlideStarts(surface, spectra, view, fit, candidatesTried)
    const { width, pxPerMm } = spectra.strip
    const room = Math.ceil(slideRoomMm * pxPerMm)
    const { correlation } = correlationOverMap(spectra, { texture: coarse, middleColumn: 0, middleRow: room }, leastOverlap)
    const across = Array.from({ length: width }, (_, x) => {
      let best = -1
      for (let y = 0; y <= 2 * room; y++) best = Math.max(best, correlation[y * width + x])
      return best
    })
    const apart = Math.ceil(apartMm * pxPerMm)
    const order = [...across.keys()].filter((x) => across[x] > 0).sort((a, b) => across[b] - across[a])
    const taken: number[] = []
    for (const x of order) {
      if (taken.length === candidatesTried) break
      if (taken.every((one) => Math.min((x - one + width) % width, (one - x + width) % width) > apart)) taken.push(x)
    }
    return taken.map((x) => baseOf(turnedCamera(fit.camera, (x / width) * 2 * Math.PI), fit.surface))
  }
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

/** A view of the whole journal tells nothing beside one from the same standpoint: lamps and shadows stand still there while the shaft turns. */
function withoutStandpoint({ facing }: PlacedMap, found: Refined): Refined {
  const own = facingOf(cameraOf(found.photo))
  const same = facing.map((one) => Math.abs(wrapped(one - own)) < sameStandpoint)
  return { ...found, ties: found.ties.map((ties, i) => (same[i] ? [] : ties)), tried: found.tried.map((count, i) => (same[i] ? 0 : count)) }
}

function facingOf(camera: Camera): number {
  const [x, y] = cameraPlace(camera)
  return Math.atan2(y, x)
}

function stands(surface: Surface, { ties, tried }: Refined): boolean {
  const all = ties.flat()
  const shareWithAll = all.length / tried.reduce((sum, count) => sum + count, 0)
  const convincing = ties.some(({ length }, i) => {
    const share = length / tried[i]
    return (
      (length >= many.agreeing && share >= many.share) || (length >= few.agreeing && share >= few.share && shareWithAll >= few.shareWithAll)
    )
  })
  const witnesses = ties.filter(({ length }) => length >= together.each).length
  if (!convincing && !(all.length >= together.agreeing && shareWithAll >= together.shareWithAll && witnesses > 1)) return false
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
