/**
 * Handles found in one photograph from the journal's sizes alone: never used until a person accepts them. The hard part is which two edges
 * are the sides of the journal among the many lines of a crankshaft, and where its rings run. Sizes make it tractable: a pose has six unknowns,
 * and with it every curve follows. Pairs of edges give rough poses; each is judged by all its curves at once; the best are climbed coarse to fine,
 * then points on the edges themselves are found and fitted.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Handles, Photo } from '../model/photo'
import { type LensData, lensPriors } from './lens-priors'
import { sideBoxes } from './propose-boxes'
import { facingOf } from './propose-curves'
import { darkMouth } from './propose-hole'
import { blockField, blockPlanes, type ColourPlanes, edgeField, isUltraviolet, type PixelPicture, shrunkPlanes } from './propose-planes'
import { cameraOfGuess, type PoseGuess, turnedEndForEnd } from './propose-pose'
import { type Refined, refined } from './propose-refine'
import { coarseDensity, type Density, fineDensity, type Judge, judgeOf } from './propose-score'
import { type Candidate, climbed, siftedBoxes } from './propose-search'
import { proposalTrust } from './propose-trust'
import type { Patch } from './snap-profile'

export type Proposal = {
  handles: Handles
  /** Share of such proposals that are right, 0 to 1. */
  trust: number
  /** Whether something in the picture tells which end is the front; otherwise it is taken to lie to the right or below. */
  senseSeen: boolean
}

const nothing: Proposal = { handles: { sides: [[], []], rings: [], oilHoles: [], clock: [], strip: null }, trust: 0, senseSeen: false }
/** How many of the best poses are followed to points on the edges. */
const followed = 4

/** @param picture upright pixels, of the photo's size or smaller. About a second for 12 megapixels. */
export function proposeHandles(journal: Journal, photo: Photo, lens: LensData | null, picture: PixelPicture): Proposal {
  const shrunk = shrunkPlanes(picture, 1200)
  const planes = { ...shrunk, scale: (shrunk.scale * photo.width) / picture.width }
  const { candidates, frame } = posesIn(journal, photo, lens, planes)
  const patch = greyPatch(planes)
  const steps = underUltraviolet(planes)
  const surface = surfaceOf(journal)
  let best: { refined: Refined; candidate: Candidate; trust: number } | null = null
  for (const candidate of candidates) {
    const camera = cameraOfGuess(frontRightOrBelow(candidate.guess), surface, frame)
    const end = refined(journal, photo, lens, camera, patch, steps)
    if (!end) continue
    const trust = proposalTrust(candidate, end, steps)
    if (!best || trust > best.trust) best = { refined: end, candidate, trust }
  }
  if (!best) return nothing
  return withHole(journal, best.refined, best.trust, patch)
}

export type PoseSearch = { candidates: Candidate[]; frame: { width: number; height: number; k1: number } }

/** The poses that agree best with the picture, best first. */
export function posesIn(journal: Journal, photo: Photo, lens: LensData | null, fine: ColourPlanes): PoseSearch {
  const surface = surfaceOf(journal)
  const { radius } = surface
  const frame = { width: photo.width, height: photo.height, k1: photo.k1 ?? 0 }
  const focalPx = lensPriors(photo, lens, surface).startFocalPx
  const mid = blockPlanes(fine, 2)
  const fineEdges = edgeField(fine, 0.6)
  const lay = blockField(fineEdges, 4)
  const levels = [blockPlanes(mid, 3), blockPlanes(mid, 2), mid]
  const edges = [...levels.map((planes) => edgeField(planes, 0.7)), fineEdges]
  const judge = (level: number, density: Density) =>
    judgeOf(surface, frame, { edges: edges[level], lay, colours: levels[Math.min(1, level)] }, density)
  const boxes = sideBoxes(edges[0], levels[0], (surface.rearTangentZ - surface.frontTangentZ) / (2 * radius), 1800)
  const rough = siftedBoxes(judge(0, coarseDensity), radius, focalPx, boxes, edges[0].scale)
  const closer = climbAll(rough.slice(0, 100), judge(1, fineDensity), radius, 16)
  const close = climbAll(closer.slice(0, 14), judge(2, fineDensity), radius, 6)
  return { candidates: climbAll(distinct(close).slice(0, followed), judge(3, fineDensity), radius, 3), frame }
}

function climbAll(from: readonly Candidate[], judge: Judge, radius: number, reachPx: number): Candidate[] {
  return from.flatMap(({ guess }) => climbed(judge, radius, guess, reachPx, 4) ?? []).sort((a, b) => b.score - a.score)
}

/** One of each group of poses that lie close together. */
function distinct(candidates: readonly Candidate[]): Candidate[] {
  const kept: Candidate[] = []
  for (const candidate of candidates) {
    const { u, v, distance, focalPx } = candidate.guess
    const near = kept.some(
      ({ guess }) =>
        Math.hypot(guess.u - u, guess.v - v) < (0.004 * focalPx * 200) / distance && Math.abs(guess.distance / distance - 1) < 0.02,
    )
    if (!near) kept.push(candidate)
  }
  return kept
}

/** Where nothing tells the ends apart the front is taken to lie to the right or below, as the map shows a journal from its rear. */
function frontRightOrBelow(guess: PoseGuess): PoseGuess {
  return Math.cos(guess.along) + Math.sin(guess.along) > 0 ? turnedEndForEnd(guess) : guess
}

/** Adds the oil hole where it is seen, and turns the ends about where its place along the axis says so. */
function withHole(journal: Journal, { handles, fit }: Refined, trust: number, patch: Patch): Proposal {
  const plain = { handles, trust, senseSeen: false }
  const facing = facingOf(fit.surface, fit.camera)
  const hole = journal.oilHoles[0]
  if (!facing || !hole || !fit.slideKnown) return plain
  const slackMm = Math.max(1, 0.04 * fit.surface.width)
  const mirrored = fit.surface.width - hole.axial
  const found = darkMouth(fit.surface, fit.camera, facing, hole, [hole.axial, mirrored], slackMm, patch)
  if (!found) return plain
  const apart = Math.abs(mirrored - hole.axial)
  const senseSeen = apart > 2 * holeSigmaMm && Math.abs(Math.abs(found.axial - hole.axial) - Math.abs(found.axial - mirrored)) > 0.6 * apart
  const turned = senseSeen && Math.abs(found.axial - mirrored) < Math.abs(found.axial - hole.axial)
  const rings = turned
    ? handles.rings.map((ring) => ({ ...ring, at: ring.at === 'front-fillet' ? ('rear-fillet' as const) : ('front-fillet' as const) }))
    : handles.rings
  // a hole that is not where the sizes put it is another hole, or none
  if (Math.min(Math.abs(found.axial - hole.axial), Math.abs(found.axial - mirrored)) > slackMm) return plain
  return { handles: { ...handles, rings, oilHoles: [{ id: hole.id, center: found.center }] }, trust, senseSeen }
}

/** How well the middle of a hole's mouth is found, mm. */
const holeSigmaMm = 0.4

function greyPatch({ width, height, scale, red, green, blue }: ColourPlanes): Patch {
  const grey = new Float32Array(red.length)
  for (let i = 0; i < grey.length; i++) grey[i] = (red[i] + green[i] + blue[i]) / 3
  return { u: 0, v: 0, scale, width, height, grey }
}

function underUltraviolet({ red, green, blue }: ColourPlanes): boolean {
  const sum = (plane: Float32Array) => plane.reduce((a, b) => a + b, 0)
  return isUltraviolet(sum(red), sum(green), sum(blue))
}
