/**
 * Handles found in one photograph from the journal's sizes alone: never used until a person accepts them. The hard part is which two edges
 * are the sides of the journal among the many lines of a crankshaft, and where its rings run. Sizes make it tractable: a pose has six unknowns,
 * and with it every curve follows. Pairs of edges give rough poses, each judged by all its curves at once. The outline then tells the rest
 * (propose-outlined.ts), under ultraviolet with the glow of the fillets (propose-glow.ts); where tangent lines are steps of brightness the best poses are climbed
 * coarse to fine and edges are fitted (propose-refine.ts).
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Handles, Photo } from '../model/photo'
import { focalPxOf35 } from './camera'
import { type Fit, fitPhoto } from './cylinder-fit'
import { type LensData, lensPriors } from './lens-priors'
import { sideBoxes } from './propose-boxes'
import { facingOf, outlineHandles } from './propose-curves'
import { glowAgreement, huePatch } from './propose-glow'
import { darkMouth } from './propose-hole'
import { blockField, blockPlanes, type ColourPlanes, edgeField, isUltraviolet, type PixelPicture, shrunkPlanes } from './propose-planes'
import { brightColourGrid, colourGrid, outlineJudge } from './propose-outline'
import { outlineFit } from './propose-outline-fit'
import { outlinedPoses } from './propose-outlined'
import { cameraOfGuess, type Frame, type PoseGuess, turnedEndForEnd } from './propose-pose'
import { refined } from './propose-refine'
import { coarseDensity, fineDensity, type Judge, judgeOf } from './propose-score'
import { type Candidate, climbed, scoreOf, siftedBoxes } from './propose-search'
import { glowTrust, outlineTrust, stepsTrust } from './propose-trust'
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
/** How many boxes are judged, how many of them are climbed from, and how many rough poses are judged by their outline: glowing ends tell nearly all. */
const whiteCounts = { boxes: 1800, climbed: 100, outlined: 20 }
const ultravioletCounts = { boxes: 300, climbed: 24, outlined: 6 }
/** What the inside of a journal, and the glow of its ends, count beside the outline. */
const insideWeight = 2
const glowWeight = 3

/** @param picture upright pixels, of the photo's size or smaller. About a second for 12 megapixels. */
export function proposeHandles(journal: Journal, photo: Photo, lens: LensData | null, picture: PixelPicture): Proposal {
  const shrunk = shrunkPlanes(picture, 1200)
  const planes = { ...shrunk, scale: (shrunk.scale * photo.width) / picture.width }
  const ultraviolet = underUltraviolet(planes)
  const search = searchIn(journal, photo, lens, planes, ultraviolet)
  const patch = greyPatch(planes)
  const best = hasFillets(journal)
    ? byOutline(journal, photo, lens, search, planes, ultraviolet)
    : bySteps(journal, photo, lens, search, patch, planes, ultraviolet)
  return best ? withHole(journal, best.handles, best.fit, best.trust, patch) : nothing
}

type Found = { handles: Handles; fit: Fit; trust: number }

/** Tangent lines that are steps of brightness: at undercuts and sharp edges. */
function bySteps(
  journal: Journal,
  photo: Photo,
  lens: LensData | null,
  search: Search,
  patch: Patch,
  planes: ColourPlanes,
  ultraviolet: boolean,
): Found | null {
  const surface = surfaceOf(journal)
  const grid = colourGrid(planes)
  const close = climbAll(search.rough.slice(0, 14), search.judge(2), surface.radius, 6)
  const found = (candidate: Candidate, guess: PoseGuess): (Found & { candidate: Candidate })[] => {
    const camera = cameraOfGuess(frontRightOrBelow(guess), surface, search.frame)
    const end = refined(journal, photo, lens, camera, patch, ultraviolet)
    return end ? [{ handles: end.handles, fit: end.fit, trust: stepsTrust(candidate, end), candidate }] : []
  }
  const byTrust = (one: Found, other: Found) => other.trust - one.trust
  const [best] = climbAll(distinct(close).slice(0, followed), search.judge(3), surface.radius, 3)
    .flatMap((candidate) => found(candidate, candidate.guess))
    .sort(byTrust)
  if (!best) return null
  // the same once more from where its sides put it: they tell the tilt better than the search does
  const bySides = outlineFit(surface, search.frame, grid, best.candidate.guess, 'sides')
  const [settled] = [best, ...(bySides ? found(best.candidate, bySides.guess) : [])].sort(byTrust)
  return settled
}

/** In white light a tangent line is a faint kink of the shading; the outline tells where the journal lies along its axis, and under ultraviolet the glow of its ends. */
function byOutline(
  journal: Journal,
  photo: Photo,
  lens: LensData | null,
  search: Search,
  planes: ColourPlanes,
  ultraviolet: boolean,
): Found | null {
  const surface = surfaceOf(journal)
  const { frame } = search
  const grid = ultraviolet ? brightColourGrid(planes) : colourGrid(planes)
  const hue = ultraviolet ? huePatch(planes) : null
  const focalKnown = lensPriors(photo, lens, surface).focalFrom !== 'solved'
  const outline = outlineJudge(surface, grid)
  const judge = search.judge(1)
  const inside = (guess: PoseGuess): number => {
    const agreement = judge(guess)
    return agreement ? scoreOf(agreement) : Number.NEGATIVE_INFINITY
  }
  const merit = (guess: PoseGuess) => {
    const camera = cameraOfGuess(guess, surface, frame)
    return outline.whole(camera) + insideWeight * inside(guess) + (hue ? glowWeight * glowAgreement(surface, camera, hue) : 0)
  }
  const guesses = distinct(search.rough)
    .slice(0, (ultraviolet ? ultravioletCounts : whiteCounts).outlined)
    .map(({ guess }) => guess)
  const [pose] = outlinedPoses(outline, surface, frame, grid, guesses, merit, hue && { hue, focalKnown })
  const handles = pose && outlineHandles(surface, cameraOfGuess(frontRightOrBelow(pose.guess), surface, frame))
  const fit = handles && fitPhoto(journal, { ...photo, handles }, lens)
  if (!pose || !handles || !fit?.ok) return null
  const glowing = hue && glowAgreement(surface, cameraOfGuess(pose.guess, surface, frame), hue)
  const trust = glowing === null ? outlineTrust(pose, inside(pose.guess), focalKnown) : glowTrust(pose, inside(pose.guess), glowing)
  return { handles, fit: fit.value, trust }
}

function hasFillets({ fillets }: Journal): boolean {
  return fillets.front.form === 'tangent' && fillets.rear.form === 'tangent'
}

type Search = {
  /** Best first, many of them alike. */
  rough: Candidate[]
  frame: Frame
  /** Finer from level to level, 0 to 3. */
  judge: (level: 0 | 1 | 2 | 3) => Judge
}

/** The main cameras of phones lie between 24 and 26 mm equivalent (common practice, no source): where nothing tells, in their middle. */
const usualFocal35Mm = 25

/** Poses that agree roughly with the picture. */
function searchIn(journal: Journal, photo: Photo, lens: LensData | null, fine: ColourPlanes, ultraviolet: boolean): Search {
  const surface = surfaceOf(journal)
  const { radius } = surface
  const frame = { width: photo.width, height: photo.height, k1: photo.k1 ?? 0 }
  const { focalFrom, startFocalPx } = lensPriors(photo, lens, surface)
  const focalPx = focalFrom === 'solved' ? focalPxOf35(usualFocal35Mm, photo.width, photo.height) : startFocalPx
  const mid = blockPlanes(fine, 2)
  const fineEdges = edgeField(fine, 0.6)
  const lay = blockField(fineEdges, 4)
  const levels = [blockPlanes(mid, 3), blockPlanes(mid, 2), mid]
  const edgesOf = (level: number) => (level === 3 ? fineEdges : edgeField(levels[level], 0.7))
  const judge = (level: number) =>
    judgeOf(surface, frame, { edges: edgesOf(level), lay, colours: levels[Math.min(1, level)] }, level === 0 ? coarseDensity : fineDensity)
  const coarse = edgesOf(0)
  const counts = ultraviolet ? ultravioletCounts : whiteCounts
  const lengthOverDiameter = (surface.rearTangentZ - surface.frontTangentZ) / (2 * radius)
  const boxes = sideBoxes(coarse, levels[0], lengthOverDiameter, counts.boxes, ultraviolet)
  const sifted = siftedBoxes(judge(0), radius, focalPx, boxes, coarse.scale)
  return { rough: climbAll(sifted.slice(0, counts.climbed), judge(1), radius, 16), frame, judge }
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
function withHole(journal: Journal, handles: Handles, fit: Fit, trust: number, patch: Patch): Proposal {
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

/** In the middle of the picture, where the journal is: what lies about it may be lit by the room. A blue rag is not most of it. */
function underUltraviolet({ width, height, red, green, blue }: ColourPlanes): boolean {
  let [seen, violet] = [0, 0]
  for (let y = height >> 2; y < 0.75 * height; y++) {
    for (let x = width >> 2; x < 0.75 * width; x++) {
      const i = y * width + x
      seen++
      if (isUltraviolet(red[i], green[i], blue[i])) violet++
    }
  }
  return violet > leastViolet * seen
}

/** Of seeds 501 to 524, nearly square, ultraviolet photographs reach 0.70, white ones 0.47 with a blue rag. */
const leastViolet = 0.58
