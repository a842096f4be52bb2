/**
 * Photographs of one journal laid on one map by what they show alike: strips are correlated pair by pair, the turns
 * solved around the journal, ties taken between neighbours, close-ups placed on what is laid, and all photographs refined
 * together. A photograph that shows no oil hole or witness mark takes its angle about the shaft from its neighbours, one that
 * shows no sides its whole view, with the sigmas that follow.
 */
import { type MapPoint, type Surface, surfaceOf, surfacePoint } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { type Camera, project, turnedCamera } from './camera'
import type { Fit } from './cylinder-fit'
import type { PixelTie } from './far-pairs'
import { baseOf, unknownIndex } from './fit-state'
import type { FitTask } from './fit-task'
import { type JointPhoto, solveJointly, type Tie } from './joint-fit'
import { type LensData, lensPriors, type Prior } from './lens-priors'
import { lensShares, sharedLenses, withSharedPriors } from './lens-sharing'
import type { GlowStrip } from './glow-strip'
import { observationsOf } from './observation'
import type { PlacedCloseUp } from './place-close-up'
import { borrowedRoll, placedByNeighbours, refinedFit } from './refined-fit'
import { facingOf, lendsItsAngle, settledTurns } from './settled-turns'
import type { StripPair } from './strip-pairs'
import { type TextureStrip, wholeTurn } from './texture'
import type { TiePatch } from './tie-points'
import { tieInformation } from './tie-sigma'

/** `coarse`: texture that photographs which match no neighbour are looked for by. */
export type AlignmentEntry = {
  photo: Photo
  lens: LensData | null
  fit: Fit
  strip: TextureStrip
  coarse: TextureStrip
  /** Compared where the strips match nowhere; null in white light. */
  glow: GlowStrip | null
}

/** The photographs that are tied to the journal's own angle, the others, and what ties them. */
export type LaidPhotos = {
  journal: Journal
  surface: Surface
  /** With the turn added to each one's own angles, radians, the camera so turned, and what is measured in the picture beside the picks. */
  placed: (AlignmentEntry & { turn: number; camera: Camera; edges: readonly Prior[] })[]
  ties: Tie[]
  /** By the photographs' places in `placed`. */
  neighbours: number[][]
  /** Photographs that match no other one, or only ones without a known roll. */
  unmatched: string[]
}

/** All entries' strips have one size, their width a power of two; every fit's slide is known. */
export function layBeside(journal: Journal, entries: readonly AlignmentEntry[]): LaidPhotos {
  const surface = surfaceOf(journal)
  const { turns, pairs } = settledTurns(
    surface,
    entries.map(({ fit, strip, glow }) => ({ known: lendsItsAngle(fit), facing: facingOf(fit.camera), strip, glow })),
  )
  const placed: LaidPhotos['placed'] = []
  const place = new Map<number, number>()
  entries.forEach((entry, i) => {
    const turn = turns[i]
    if (turn === null) return
    place.set(i, placed.length)
    placed.push({ ...entry, turn, camera: turnedCamera(entry.fit.camera, turn), edges: [] })
  })
  const neighbours: number[][] = placed.map(() => [])
  const ties = pairs.flatMap((pair) => {
    const first = place.get(pair.first)
    const second = place.get(pair.second)
    if (first === undefined || second === undefined) return []
    neighbours[first].push(second)
    neighbours[second].push(first)
    return tiesOf(surface, entries, pair, first, second)
  })
  return { journal, surface, placed, ties, neighbours, unmatched: entries.flatMap(({ photo }, i) => (place.has(i) ? [] : [photo.id])) }
}

/** The same with other ties between two photographs, whatever tied them before. */
export function withTies(laid: LaidPhotos, first: number, second: number, ties: readonly PixelTie[]): LaidPhotos {
  const others = laid.ties.filter(({ first: a, second: b }) => {
    return !((a.photo === first && b.photo === second) || (a.photo === second && b.photo === first))
  })
  const added = ties.map(
    ({ inFirst, inSecond, information }): Tie => ({
      first: { photo: first, pixel: inFirst },
      second: { photo: second, pixel: inSecond },
      information,
    }),
  )
  const neighbours = laid.neighbours.map((list, i) => {
    const other = i === first ? second : i === second ? first : null
    return other === null || list.includes(other) ? list : [...list, other]
  })
  return { ...laid, ties: [...others, ...added], neighbours }
}

/** Refined fits by photo id, of those that neighbours have a say in. */
export function alignFits(
  { journal, surface, placed, ties, neighbours }: LaidPhotos,
  closeUps: readonly PlacedCloseUp[],
): Map<string, Fit> {
  const users = [...placed, ...closeUps.map(({ photo, lens, own }) => ({ photo, lens, fit: own }))]
  const lenses = sharedLenses(users)
  const tasks = [...placed.map((entry) => taskOf(journal, surface, entry)), ...closeUps.map(({ joint }) => joint.task)].map((task, i) =>
    withSharedPriors(task, i, lenses),
  )
  const photos: JointPhoto[] = [
    ...placed.map(({ camera, fit }, i) => ({ task: tasks[i], base: baseOf(camera, fit.surface), contourSigns: fit.contourSigns })),
    ...closeUps.map(({ joint }, k) => ({ ...joint, task: tasks[placed.length + k] })),
  ]
  const all = [...ties, ...closeUps.flatMap((one, k) => closeUpTies(surface, placed, one, placed.length + k))]
  const fits = new Map<string, Fit>()
  const solution = all.length > 0 ? solveJointly(surface, photos, all, lensShares(lenses)) : null
  if (!solution) return fits
  placed.forEach(({ photo, fit }, i) => {
    if (neighbours[i].length === 0 && !closeUps.some((one) => one.ties[i].length > 0)) return
    const names = neighbours[i].map((k) => placed[k].photo.id)
    const refined = refinedFit(photo, photos[i], solution, i, { senseKnown: fit.senseKnown, ties: all })
    fits.set(photo.id, fit.rollKnown ? refined : { ...refined, warnings: [...refined.warnings, borrowedRoll(names, refined.sigmas)] })
  })
  closeUps.forEach(({ photo, own, ties: found }, k) => {
    const i = placed.length + k
    const names = placed.flatMap((entry, at) => (found[at].length > 0 ? [entry.photo.id] : []))
    const refined = refinedFit(photo, photos[i], solution, i, { senseKnown: true, ties: all })
    const lent = own?.trusted ? borrowedRoll(names, refined.sigmas) : placedByNeighbours(names, refined.sigmas)
    fits.set(photo.id, own?.trusted && own.rollKnown ? refined : { ...refined, warnings: [...refined.warnings, lent] })
  })
  return fits
}

function tiesOf(surface: Surface, entries: readonly AlignmentEntry[], pair: StripPair, first: number, second: number): Tie[] {
  const a = entries[pair.first]
  const b = entries[pair.second]
  return pair.ties.flatMap((patch): Tie[] => {
    const firstPixel = seenAt(surface, a.fit.camera, patch.inFirst)
    const secondPixel = seenAt(surface, b.fit.camera, patch.inSecond)
    const information = tieInformation(patch.information, [
      facingCosine(a.fit.camera, patch.inFirst),
      facingCosine(b.fit.camera, patch.inSecond),
    ])
    return firstPixel && secondPixel
      ? [{ first: { photo: first, pixel: firstPixel }, second: { photo: second, pixel: secondPixel }, information }]
      : []
  })
}

/** Ties of a close-up with every photograph that is laid, whose strip was turned by whole columns. */
function closeUpTies(surface: Surface, placed: LaidPhotos['placed'], { ties, rolledWith }: PlacedCloseUp, closeUp: number): Tie[] {
  return ties.flatMap((patches, i) =>
    patches.flatMap((patch: TiePatch): Tie[] => {
      const { fit, strip, turn } = placed[i]
      const rolled = turnedCamera(fit.camera, wholeTurn(strip, turn))
      const firstPixel = seenAt(surface, rolled, patch.inFirst)
      const secondPixel = seenAt(surface, rolledWith, patch.inSecond)
      const information = tieInformation(patch.information, [facingCosine(rolled, patch.inFirst), facingCosine(rolledWith, patch.inSecond)])
      return firstPixel && secondPixel
        ? [{ first: { photo: i, pixel: firstPixel }, second: { photo: closeUp, pixel: secondPixel }, information }]
        : []
    }),
  )
}

function facingCosine(camera: Camera, { theta }: MapPoint): number {
  return Math.cos(theta - facingOf(camera))
}

function seenAt(surface: Surface, camera: Camera, at: MapPoint) {
  return project(camera, surfacePoint(surface, at))
}

function taskOf(journal: Journal, surface: Surface, { photo, lens, fit, edges }: LaidPhotos['placed'][number]): FitTask {
  const priors = lensPriors(photo, lens, surface)
  const unknowns = new Set([...fit.unknowns, unknownIndex.roll, unknownIndex.slide])
  return {
    observations: observationsOf(journal, photo.handles),
    priors: { ...priors, list: [...priors.list, ...edges] },
    unknowns: [...unknowns].sort((a, b) => a - b),
    pickSigmaPx: fit.pickSigmaPx,
    leftOut: fit.residuals.map(({ leftOut }) => leftOut),
  }
}
