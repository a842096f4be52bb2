/**
 * Candidate marks from all photographs of a journal. The hard part: a medium crack is a pixel wide and a few shades darker than ground steel whose
 * lay, highlights and stains are stronger than it is. So every photograph is laid on one grid of the map first (their fits agree to some
 * hundredths of a mm; `strip-register.ts` draws them together), what holds in several adds up there, and each line that stands out is judged as
 * a whole by what it is like (`candidate-features.ts`, `candidate-score.ts`). Nothing found counts until a person accepts it, and what is not found
 * may still be there.
 */
import { axialOfS, type Surface, surfaceOf } from '../journal/surface'
import { type Mouth, mouthDistance, mouthOf } from '../journal/oil-hole'
import type { Journal } from '../model/journal'
import type { Picture } from '../rollout/picture'
import { byBestView } from './best-view'
import { centred, type Features, featuresOf, meanDarkness, type Scene } from './candidate-features'
import { reasonOf } from './candidate-reason'
import { scoreOf, type Trees } from './candidate-score'
import { type EvidenceScale, lineEvidence } from './line-evidence'
import { isAmongRidges } from './fingerprint-ridge'
import { joinedPaths } from './joined-paths'
import { type LineGrid, lineGrid, mapPointAt, wrappedColumn } from './line-grid'
import { type Lighting, lightingOf, type LineStrip, lineStrip } from './line-strip'
import type { LineView } from './line-view'
import { type RidgeLimits, type RidgePath, ridgePaths } from './ridge-path'
import { partedAtScores } from './score-runs'
import { ultravioletTrees } from './score-ultraviolet'
import { whiteTrees } from './score-white'
import { registered } from './strip-register'
import { thinnedPath } from './thinned-path'

export type Candidate = {
  /** On the map; angles may run past 360. */
  points: { angleDeg: number; axial: number }[]
  /** 0..1: how likely such a line was a crack, among the lines of rendered photographs. */
  score: number
  /** One sentence: what speaks for it, and what against. */
  reason: string
}
export type SuggestProgress = (done: number, of: number) => void

/** Candidates below this are not worth a person's tap: it costs more to reject them than they save. */
const leastScore = 0.3
const limits: Record<Lighting, RidgeLimits> = {
  white: { begin: 4, goOn: 1.9, leastPlaces: 14, tailShare: 0 },
  // pieces of a net that are too short by themselves may continue another
  ultraviolet: { begin: 4.5, goOn: 2.5, leastPlaces: 6, tailShare: 0.35 },
}
/** A joined line under ultraviolet is so long at least, places. */
const leastJoined = 10
/** Under ultraviolet a line glows by this much more than what lies around it, a knot of a net by that. */
const leastGlow = 0.03
const knotGlow = 0.08
const joins = { gap: 16, turnOnLine: 2.2, turnOverMetal: 0.6 }
/** Particles heap up wider than the crack is. */
const scales: Record<Lighting, EvidenceScale> = {
  white: { sidePlaces: 3, evenNoise: false },
  ultraviolet: { sidePlaces: 5, evenNoise: true },
}
/** The rim itself is a line; a crack that begins at it is followed from here on, mm. */
const rimMm = 0.3
/** A line seen by the eye to a few hundredths needs no more points, mm. */
const thinMm = 0.05

/** Strongest first. `pictureOf` is asked for one upright picture at a time; null leaves that photograph out. */
export async function suggestMarks(
  journal: Journal,
  views: readonly LineView[],
  pictureOf: (view: number) => Promise<Picture | null>,
  onProgress: SuggestProgress = () => {},
): Promise<Candidate[]> {
  const surface = surfaceOf(journal)
  const grid = lineGrid(surface)
  const strips: Record<Lighting, LineStrip[]> = { white: [], ultraviolet: [] }
  const steps = views.length + 2
  for (const [i, view] of views.entries()) {
    const picture = await pictureOf(i)
    if (picture) {
      const lighting = lightingOf(surface, view, picture)
      const strip = lineStrip(surface, grid, view, picture, lighting)
      if (strip) strips[lighting].push(strip)
    }
    onProgress(i + 1, steps)
  }
  const found: Candidate[] = []
  for (const lighting of ['ultraviolet', 'white'] as const) {
    if (strips[lighting].length > 0) {
      const trees: Trees = lighting === 'white' ? whiteTrees : ultravioletTrees
      const { paths, features, scene } = candidatePaths(journal, surface, grid, strips[lighting], lighting)
      paths.forEach((path, i) => {
        const score = scoreOf(trees, features[i])
        if (isListed(scene, path, score, lighting)) found.push(candidateOf(surface, scene, path, features[i], score, lighting))
      })
    }
    onProgress(views.length + (lighting === 'white' ? 2 : 1), steps)
  }
  return found.sort((a, b) => b.score - a.score)
}

/** Whether a candidate is worth showing: likely enough, and in white light no ridge of a fingerprint. */
export function isListed(scene: Scene, path: RidgePath, score: number, lighting: Lighting): boolean {
  return score >= leastScore && !(lighting === 'white' && isAmongRidges(scene, path))
}

/** Every line that stands out under one lighting, with its features; before any is judged. */
export function candidatePaths(
  journal: Journal,
  surface: Surface,
  grid: LineGrid,
  asFitted: readonly LineStrip[],
  lighting: Lighting,
): { paths: RidgePath[]; features: Features[]; scene: Scene } {
  const strips = lighting === 'white' ? registered(grid, asFitted) : byBestView(grid, asFitted)
  const evidence = lineEvidence(grid, strips, scales[lighting])
  const rimDistance = rimDistanceOf(surface, grid, journal)
  const scene: Scene = { grid, evidence, strips, mean: meanDarkness(grid, strips), rimDistance }
  for (let y = 0; y < grid.rows; y++) {
    for (let x = 0; x < grid.columns; x++) {
      const at = y * grid.columns + x
      if (evidence.height[at] === 0) continue
      if (rimDistance(x, y) < rimMm || (lighting === 'ultraviolet' && glowNear(scene, x, y) < leastGlow)) evidence.height[at] = 0
    }
  }
  const found = ridgePaths(evidence, limits[lighting])
  const paths = lighting === 'white' ? found : joinedUp(scene, found)
  return { paths, features: featuresOf(scene, paths), scene }
}

/** Pieces of a net joined, and cracks parted from the scores that they meet. */
function joinedUp({ grid, evidence, mean }: Scene, found: readonly RidgePath[]): RidgePath[] {
  const isOnLine = (x: number, y: number) => mean[Math.round(y) * grid.columns + wrappedColumn(grid.columns, Math.round(x))] > knotGlow
  return joinedPaths(evidence, found, { ...joins, isOnLine })
    .filter(({ points }) => 2 * points.length >= leastJoined)
    .flatMap((path) => partedAtScores(evidence, path, leastJoined))
}

/** Mean over 3 x 3 places: between two lines, and beyond a line's end, the glow beside it tells more than the line's own direction. */
function glowNear({ grid, mean }: Scene, x: number, y: number): number {
  let sum = 0
  for (let row = Math.max(0, y - 1); row <= Math.min(grid.rows - 1, y + 1); row++)
    for (let dx = -1; dx <= 1; dx++) sum += mean[row * grid.columns + wrappedColumn(grid.columns, x + dx)]
  return sum / 9
}

function candidateOf(surface: Surface, scene: Scene, path: RidgePath, features: Features, score: number, lighting: Lighting): Candidate {
  const { grid } = scene
  const places = thinnedPath(centred(scene.evidence, path.points), thinMm / grid.stepS)
  const low = Math.min(...places.map(({ x }) => x))
  const turn = 360 * Math.floor(low / grid.columns)
  const points = places.map(({ x, y }) => {
    const { theta, s } = mapPointAt(grid, x, y)
    return {
      angleDeg: round((theta * 180) / Math.PI - turn, 1e3),
      axial: round(axialOfS(surface, Math.min(surface.totalS, Math.max(0, s))), 1e3),
    }
  })
  return { points, score: round(score, 1e3), reason: reasonOf(features, lighting) }
}

function rimDistanceOf(surface: Surface, grid: LineGrid, journal: Journal): Scene['rimDistance'] {
  const mouths = journal.oilHoles.map((hole) => mouthOf(surface, hole))
  return (x, y) => {
    let nearest = farMm
    for (const mouth of mouths) nearest = Math.min(nearest, rimDistance(surface, grid, mouth, x, y))
    return nearest
  }
}

/** Further than this from every rim the distance is of no use, mm. */
const farMm = 99

function rimDistance(surface: Surface, grid: LineGrid, mouth: Mouth, x: number, y: number): number {
  const place = mapPointAt(grid, x, y)
  const off = place.theta - mouth.centre.theta
  const around = (off - 2 * Math.PI * Math.round(off / (2 * Math.PI))) * surface.radius
  const reach = mouth.largerAxis / 2 + 1.2
  if (Math.abs(around) > reach || Math.abs(place.s - mouth.centre.s) > reach) return farMm
  return mouthDistance(surface, mouth, [place], false).distance
}

function round(value: number, parts: number): number {
  return Math.round(value * parts) / parts
}
