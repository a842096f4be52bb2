/**
 * From a pose that is nearly right to points on the edges themselves, where the tangent lines are steps of brightness (under ultraviolet, at
 * undercuts and sharp edges): along sides and rings, each averaged along a stretch of its curve; a robust fit of them; once more, nearer.
 */
import { type Surface, surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Handles, Photo } from '../model/photo'
import type { Camera } from './camera'
import { type Fit, fitPhoto } from './cylinder-fit'
import type { LensData } from './lens-priors'
import { faces, type Facing, facingOf, ringStretch, sideStretch } from './propose-curves'
import { type Crossing, parabolaTop, type Patch, type Profile, profileAcross, steepness } from './snap-profile'

export type Refined = {
  handles: Handles
  fit: Fit
  /** Shares of the stretches of sides and rings where an edge was found that agrees with the others. */
  sidesFound: number
  ringsFound: number
}

type Point = { at: readonly [number, number] }

/**
 * Search distances, px in a picture 2400 px wide: of the sides; of the two rings together, which the sides' scale holds at their distance;
 * and of each ring by itself about that.
 */
const rounds = [
  { side: 16, slide: 8, ring: 6 },
  { side: 9, slide: 6, ring: 6 },
  { side: 6, slide: 4, ring: 6 },
]
const sideStretches = 6
const ringStretches = 6
/** An edge of a side counts from so far above what is usual beside it. */
const clearSide = 1.3
/** Picking noise of a found edge, px in a picture 2400 px wide. */
const foundSigmaPx = 1

/** @param steps whether tangent lines are steps of brightness: so under ultraviolet, where fillets hold particles */
export function refined(
  journal: Journal,
  photo: Photo,
  lens: LensData | null,
  start: Camera,
  patch: Patch,
  steps: boolean,
): Refined | null {
  const surface = surfaceOf(journal)
  const unit = Math.max(photo.width, photo.height) / 2400
  let camera = start
  let result: Refined | null = null
  for (const { side, slide, ring } of rounds) {
    const facing = facingOf(surface, camera)
    if (!facing) return result
    const sides = ([-1, 1] as const).map((hand) => {
      const edge = sideEdge(surface, camera, facing, hand, patch, side * unit)
      return edge && edge.clarity >= clearSide ? edgePoints(edge, 0, side * unit) : []
    })
    // a soft end's tangent line is no step: its place follows from the other end
    const edgeAt = (end: 'front' | 'rear') =>
      steps || surface[end].form !== 'tangent' ? ringEdge(surface, camera, facing, end, patch, (slide + ring) * unit) : null
    const [front, rear] = [edgeAt('front'), edgeAt('rear')]
    const shift = commonSlide(front, rear, slide * unit)
    const rings = [front ? edgePoints(front, shift, ring * unit) : [], rear ? edgePoints(rear, -shift, ring * unit) : []]
    const next = fitted(journal, { ...photo, pickSigmaPx: foundSigmaPx * unit }, lens, sides, rings)
    if (!next) return result
    camera = next.fit.camera
    result = next
  }
  return result
}

/** Evidence for an edge across each stretch of a curve, by offset from the curve, and its mean over the stretches. */
type Edge = { stretches: { crossings: Crossing[]; evidence: number[] }[]; together: number[]; step: number; clarity: number }

function sideEdge(surface: Surface, camera: Camera, facing: Facing, hand: 1 | -1, patch: Patch, reachPx: number): Edge | null {
  const from = surface.frontTangentS
  const step = (surface.rearTangentS - from) / sideStretches
  const stretches = Array.from({ length: sideStretches }, (_, i) =>
    sideStretch(surface, camera, facing, hand, from + i * step, from + (i + 1) * step, 13),
  )
  // what is usual beside an edge shows in a wide profile alone
  return edgeOf(patch, stretches, Math.max(reachPx, 8 * patch.scale))
}

/** Offsets run along the axis, away from the middle of the journal. */
function ringEdge(surface: Surface, camera: Camera, facing: Facing, end: 'front' | 'rear', patch: Patch, reachPx: number): Edge | null {
  const s = end === 'front' ? surface.frontTangentS : surface.rearTangentS
  const width = (1.6 * facing.half) / ringStretches
  const stretches = Array.from({ length: ringStretches }, (_, i) => facing.middle + (i - ringStretches / 2) * width)
    .filter((theta) => faces(surface, camera, { theta: theta + width / 2, s }))
    .map((theta) => ringStretch(surface, camera, s, theta, theta + width, 17))
  return edgeOf(patch, stretches, Math.max(reachPx, 8 * patch.scale))
}

function edgeOf(patch: Patch, stretches: readonly Crossing[][], reachPx: number): Edge | null {
  const seen = stretches.flatMap((crossings) => {
    const profile = profileAcross(patch, crossings, reachPx)
    return profile ? [{ crossings, evidence: stepEvidence(profile), step: profile.step }] : []
  })
  if (seen.length < 2) return null
  const together = seen[0].evidence.map((_, i) => seen.reduce((sum, { evidence }) => sum + evidence[i], 0) / seen.length)
  return { stretches: seen, together, step: seen[0].step, clarity: Math.max(...together) }
}

/** How far both rings lie along the axis from where they are thought, px towards the front; 0 where one of them is out of sight. */
function commonSlide(front: Edge | null, rear: Edge | null, reachPx: number): number {
  const step = (front ?? rear)?.step ?? 1
  let best = Number.NEGATIVE_INFINITY
  let slide = 0
  for (let shift = -reachPx; shift <= reachPx; shift += step) {
    const sum = evidenceAt(front, shift) + evidenceAt(rear, -shift)
    if (sum > best) {
      best = sum
      slide = shift
    }
  }
  return slide
}

function evidenceAt(edge: Edge | null, offsetPx: number): number {
  if (!edge) return 0
  const i = Math.round(offsetPx / edge.step + (edge.together.length - 1) / 2)
  return edge.together[i] ?? Number.NEGATIVE_INFINITY
}

/**
 * Along each stretch the place, within a window, that its own evidence and that of all stretches together speak for: one highlight or one stain
 * misleads a stretch, not the curve.
 */
function edgePoints({ stretches, together, step }: Edge, middlePx: number, reachPx: number): Point[] {
  return stretches.flatMap(({ crossings, evidence }) => {
    const offsetOf = (i: number) => (i - (evidence.length - 1) / 2) * step
    const both = evidence.map((own, i) => (Math.abs(offsetOf(i) - middlePx) > reachPx ? Number.NEGATIVE_INFINITY : own + 1.5 * together[i]))
    let best = 0
    for (let i = 1; i < both.length; i++) if (both[i] > both[best]) best = i
    if (!Number.isFinite(both[best])) return []
    const whole = Number.isFinite(both[best - 1]) && Number.isFinite(both[best + 1])
    const offset = offsetOf(best) + (whole ? step * parabolaTop(both[best - 1], both[best], both[best + 1]) : 0)
    const { u, v, across } = crossings[crossings.length >> 1]
    return [{ at: [u + offset * across[0], v + offset * across[1]] as const }]
  })
}

/** Steepness over what is usual in the profile. */
function stepEvidence(profile: Profile): number[] {
  const steep = steepness(profile)
  const usual = [...steep].sort((a, b) => a - b)[steep.length >> 1] + 0.3
  return steep.map((value) => Math.min(6, value / usual))
}

function fitted(
  journal: Journal,
  photo: Photo,
  lens: LensData | null,
  sides: readonly Point[][],
  rings: readonly Point[][],
): Refined | null {
  const handles = handlesOf(sides, rings)
  const outcome = fitPhoto(journal, { ...photo, handles }, lens)
  if (!outcome.ok) return null
  return {
    handles,
    fit: outcome.value,
    sidesFound: sides.flat().length / (2 * sideStretches),
    ringsFound: rings.flat().length / (2 * ringStretches),
  }
}

function handlesOf(sides: readonly Point[][], rings: readonly Point[][]): Handles {
  const at = (points: readonly Point[]) => points.map((point): [number, number] => [point.at[0], point.at[1]])
  return {
    sides: [at(sides[0]), at(sides[1])],
    rings: [
      { at: 'front-fillet' as const, points: at(rings[0]) },
      { at: 'rear-fillet' as const, points: at(rings[1]) },
    ].filter(({ points }) => points.length > 0),
    oilHoles: [],
    clock: [],
    strip: null,
  }
}
