/** The pose that a journal's outline agrees with best: its sides tell the tilt, then its fillets the place along the axis, then all together. */
import type { Surface } from '../journal/surface'
import type { Camera } from './camera'
import { glowSlide } from './propose-glow'
import { type ColourGrid, cornersOf, type OutlineJudge, slidCamera } from './propose-outline'
import { type Glow, type OutlineFit, outlineFit } from './propose-outline-fit'
import { cameraOfGuess, type Frame, type PoseGuess } from './propose-pose'
import { parabolaTop } from './snap-profile'

export type OutlineSlide = {
  /** Along the axis towards the rear, mm: how far the journal lies from where the camera has it. */
  slideMm: number
  /** How far the best slide's log evidence stands above that of the best one elsewhere. */
  lead: number
}

/** Slides nearer to the best are the same peak. */
const peakMm = 0.4

/** Where the fillets' outline puts the journal along its axis. */
export function outlineSlide(judge: OutlineJudge, surface: Surface, camera: Camera, reachMm: number, stepMm: number): OutlineSlide {
  const corners = cornersOf(surface)
  const half = Math.round(reachMm / stepMm)
  const evidence = Array.from({ length: 2 * half + 1 }, (_, i) => {
    const there = slidCamera(camera, (i - half) * stepMm)
    return corners.reduce((sum, corner) => sum + judge.corner(there, corner), 0)
  })
  let best = 0
  for (let i = 1; i < evidence.length; i++) if (evidence[i] > evidence[best]) best = i
  const elsewhere = evidence.filter((_, i) => Math.abs(i - best) * stepMm > peakMm)
  const inside = best > 0 && best < evidence.length - 1
  const offset = inside ? parabolaTop(evidence[best - 1], evidence[best], evidence[best + 1]) : 0
  return { slideMm: (best - half + offset) * stepMm, lead: evidence[best] - Math.max(...elsewhere) }
}

export type OutlinedPose = OutlineFit & { merit: number }

/** How far along the axis a search may err; mm. */
const searchReachMm = 4
const searchStepMm = 0.1
/** A slide that is worth another fit, mm. */
const anotherPlaceMm = 0.3
/** How many of the poses are followed to all edges. */
const followed = 6

/**
 * From rough guesses to poses on the edges, best first.
 * @param merit of a guess: how well the outline and all else agree
 * @param glow under ultraviolet, where the glow of the ends tells the place along the axis
 */
export function outlinedPoses(
  judge: OutlineJudge,
  surface: Surface,
  frame: Frame,
  grid: ColourGrid,
  guesses: readonly PoseGuess[],
  merit: (guess: PoseGuess) => number,
  glow: Glow | null,
): OutlinedPose[] {
  const slidPose = (guess: PoseGuess): PoseGuess => {
    const camera = cameraOfGuess(guess, surface, frame)
    const slideMm = glow
      ? glowSlide(surface, camera, glow.hue, searchReachMm)
      : outlineSlide(judge, surface, camera, searchReachMm, searchStepMm).slideMm
    return slidGuess(guess, slideMm)
  }
  const fitFrom = (guess: PoseGuess): OutlinedPose[] => {
    const fit = outlineFit(surface, frame, grid, guess, 'whole', glow)
    return fit ? [{ ...fit, merit: merit(fit.guess) }] : []
  }
  return guesses
    .map((guess) => {
      const sides = outlineFit(surface, frame, grid, guess, 'sides')
      const places = sides ? [guess, slidPose(guess), slidPose(sides.guess)] : [guess, slidPose(guess)]
      return best(places.map((place) => ({ guess: place, merit: merit(place) })))
    })
    .sort((a, b) => b.merit - a.merit)
    .slice(0, followed)
    .flatMap(({ guess }) => {
      const fits = fitFrom(guess)
      // with its tilt known another place along the axis may turn out the better one
      const elsewhere = fits
        .map((fit) => ({ fit, place: slidPose(fit.guess) }))
        .filter(({ fit, place }) => movedMm(fit.guess, place) > anotherPlaceMm)
      const all = [...fits, ...elsewhere.flatMap(({ place }) => fitFrom(place))]
      return all.length > 0 ? [best(all)] : []
    })
    .sort((a, b) => b.merit - a.merit)
}

function best<T extends { merit: number }>(some: readonly T[]): T {
  return some.reduce((a, b) => (b.merit > a.merit ? b : a))
}

function movedMm(from: PoseGuess, to: PoseGuess): number {
  return (Math.hypot(to.u - from.u, to.v - from.v) * from.distance) / (from.focalPx * Math.cos(from.tilt))
}

function slidGuess(guess: PoseGuess, slideMm: number): PoseGuess {
  const px = (slideMm * guess.focalPx * Math.cos(guess.tilt)) / guess.distance
  return { ...guess, u: guess.u + px * Math.cos(guess.along), v: guess.v + px * Math.sin(guess.along) }
}
