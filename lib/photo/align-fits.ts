/**
 * Photographs of one journal laid on one map by what they show alike: strips are correlated pair by pair, the turns
 * solved around the journal, ties taken between neighbours, and all photographs refined together. A photograph that
 * shows no oil hole or witness mark takes its angle about the shaft from its neighbours, with the sigmas that follow.
 */
import { type MapPoint, type Surface, surfaceOf, surfacePoint } from '../journal/surface'
import { multiply, rotationOf } from '../journal/vector'
import type { Warning } from '../model/findings'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { type Camera, cameraPlace, project } from './camera'
import type { Fit } from './cylinder-fit'
import { fitQuality } from './fit-quality'
import { residualsOf } from './fit-residuals'
import { baseOf, type FitState, unknownIndex } from './fit-state'
import type { FitTask } from './fit-task'
import { fitWarnings } from './fit-warnings'
import { type JointPhoto, type JointSolution, solveJointly, type Tie } from './joint-fit'
import { type LensData, lensPriors } from './lens-priors'
import { type Measured, measure, observationsOf } from './observation'
import { type StripPair, stripPairs } from './strip-pairs'
import type { TextureStrip } from './texture'
import { solveTurns, type TurnMatch } from './turn-graph'

export type AlignmentEntry = { photo: Photo; lens: LensData | null; fit: Fit; strip: TextureStrip }

export type Alignment = {
  /** Refined fits by photo id, of those that are tied to the journal's own angle. */
  fits: Map<string, Fit>
  /** Photos that match no other one, or only ones without a known roll. */
  unmatched: string[]
}

/** Closing error around the journal that is still agreement, mm. */
const closingMm = 0.9

/** All entries' strips have one size, their width a power of two; every fit's slide is known. */
export function alignFits(journal: Journal, entries: readonly AlignmentEntry[]): Alignment {
  const surface = surfaceOf(journal)
  const pairs = stripPairs(
    surface,
    entries.map(({ strip, fit }) => ({ strip, facing: facingOf(fit.camera) })),
  )
  const { turns, kept } = solveTurns(
    entries.map((entry) => entry.fit.rollKnown),
    pairs,
    closingMm / surface.radius,
  )
  const placed = entries.flatMap((entry, i) =>
    turns[i] === null ? [] : [{ ...entry, index: i, camera: turned(entry.fit.camera, turns[i] ?? 0) }],
  )
  const unmatched = entries.filter((_, i) => turns[i] === null).map((entry) => entry.photo.id)
  const place = new Map(placed.map((entry, at) => [entry.index, at]))
  const ties = kept.flatMap((pair) => {
    const first = place.get(pair.first)
    const second = place.get(pair.second)
    return first === undefined || second === undefined ? [] : tiesOf(surface, entries, pair, first, second)
  })
  const photos = placed.map((entry) => jointPhoto(journal, surface, entry))
  const solution = ties.length > 0 ? solveJointly(surface, photos, ties) : null
  const fits = new Map<string, Fit>()
  if (solution) {
    placed.forEach((entry, at) => {
      const neighbours = neighboursOf(kept, entries, entry.index)
      if (neighbours.length > 0) fits.set(entry.photo.id, refinedFit(entry, photos[at].task, solution, at, neighbours))
    })
  }
  return { fits, unmatched }
}

function tiesOf(surface: Surface, entries: readonly AlignmentEntry[], pair: StripPair, first: number, second: number): Tie[] {
  const a = entries[pair.first]
  const b = entries[pair.second]
  return pair.ties.flatMap((patch): Tie[] => {
    const firstPixel = seenAt(surface, a.fit.camera, patch.inFirst)
    const secondPixel = seenAt(surface, b.fit.camera, patch.inSecond)
    return firstPixel && secondPixel ? [{ first, second, firstPixel, secondPixel, information: patch.information }] : []
  })
}

/** Where about the shaft the camera stands, radians. */
function facingOf(camera: Camera): number {
  const [x, y] = cameraPlace(camera)
  return Math.atan2(y, x)
}

function seenAt(surface: Surface, camera: Camera, at: MapPoint) {
  return project(camera, surfacePoint(surface, at))
}

/** The camera when a turn is added to the photograph's own angles. */
function turned(camera: Camera, turn: number): Camera {
  return { ...camera, rotation: multiply(camera.rotation, rotationOf([0, 0, -turn])) }
}

function jointPhoto(journal: Journal, surface: Surface, { photo, lens, fit, camera }: AlignmentEntry & { camera: Camera }): JointPhoto {
  const unknowns = new Set([...fit.unknowns, unknownIndex.roll, unknownIndex.slide])
  const task: FitTask = {
    observations: observationsOf(journal, photo.handles),
    priors: lensPriors(photo, lens, surface),
    unknowns: [...unknowns].sort((a, b) => a - b),
    pickSigmaPx: fit.pickSigmaPx,
  }
  return { task, base: baseOf(camera, fit.surface), contourSigns: fit.contourSigns }
}

function neighboursOf(kept: readonly TurnMatch[], entries: readonly AlignmentEntry[], index: number): string[] {
  return kept.flatMap(({ first, second }) =>
    first === index ? [entries[second].photo.id] : second === index ? [entries[first].photo.id] : [],
  )
}

function refinedFit(
  { photo, fit }: AlignmentEntry,
  task: FitTask,
  solution: JointSolution,
  at: number,
  neighbours: readonly string[],
): Fit {
  const state: FitState = solution.states[at]
  const covariance = solution.covariances[at]
  const measured = task.observations.map((o) => measure(state, o, fit.contourSigns)).filter((m): m is Measured => m !== null)
  const bare = {
    camera: state.camera,
    surface: state.surface,
    rollKnown: true,
    slideKnown: true,
    senseKnown: fit.senseKnown,
    pickSigmaPx: fit.pickSigmaPx,
    unknowns: [...task.unknowns],
    covariance,
    contourSigns: fit.contourSigns,
    ...residualsOf(task, state, measured, covariance),
  }
  const quality = fitQuality(bare)
  const refined = { ...bare, sigmas: quality.sigmas, trusted: quality.trusted, residualsWithinRange: quality.residualsWithinRange }
  const warnings = fitWarnings(refined, quality, photo)
  return { ...refined, warnings: fit.rollKnown ? warnings : [...warnings, borrowedRoll(neighbours, quality.sigmas.aroundMm)] }
}

function borrowedRoll(neighbours: readonly string[], sigmaMm: number | null): Warning {
  const by = sigmaMm === null ? '' : ` (to ${(1.96 * sigmaMm).toFixed(2)} mm of arc, 95 %)`
  return {
    code: 'roll-from-neighbours',
    text: `Its angle about the shaft comes from what it shows alike with ${neighbours.join(', ')}${by}.`,
  }
}
