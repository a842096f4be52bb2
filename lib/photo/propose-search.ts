/** From many rough guesses of a pose to the few that the photograph agrees with best: sifted, then climbed uphill, coarse to fine. */
import type { Box } from './propose-boxes'
import { distanceFor, type PoseGuess } from './propose-pose'
import type { Agreement, Judge } from './propose-score'

export type Candidate = { guess: PoseGuess; score: number }

const tilts = [-0.58, -0.4, -0.24, -0.08, 0.08, 0.24, 0.4, 0.58]
/** Shifts along the axis, in distances between the sides. */
const slides = [-0.06, 0, 0.06]

/** The best tilt and shift for each box. Best first. `scale`: pixels of the photograph to one of the boxes'. */
export function siftedBoxes(judge: Judge, radius: number, focalPx: number, boxes: readonly Box[], scale: number): Candidate[] {
  const found: Candidate[] = []
  for (const box of boxes) {
    let best: Candidate | null = null
    for (const tilt of tilts) {
      const distance = distanceFor(box.across * scale, radius, tilt, focalPx)
      for (const slide of slides) {
        const u = scale * (box.x + slide * box.across * Math.cos(box.along))
        const v = scale * (box.y + slide * box.across * Math.sin(box.along))
        const candidate = judged(judge, { u, v, along: box.along, tilt, distance, focalPx })
        if (candidate && (!best || candidate.score > best.score)) best = candidate
      }
    }
    if (best) found.push(best)
  }
  return found.sort((a, b) => b.score - a.score)
}

/** Climbs from a guess, one unknown at a time, with steps that shrink. `reachPx`: the first step in the picture. */
export function climbed(judge: Judge, radius: number, start: PoseGuess, reachPx: number, rounds: number): Candidate | null {
  let best = judged(judge, start)
  if (!best) return null
  const size = (start.focalPx * radius) / start.distance
  let step = reachPx
  for (let round = 0; round < rounds; round++, step *= 0.6) {
    const angle = step / size
    let gained = true
    for (let pass = 0; gained && pass < 4; pass++) {
      gained = false
      for (const move of poseMoves) {
        for (const sign of [1, -1]) {
          const next = judged(judge, move(best.guess, sign * step, sign * angle))
          if (next && next.score > best.score) {
            best = next
            gained = true
            break
          }
        }
      }
    }
  }
  return best
}

export type Move = (guess: PoseGuess, px: number, angle: number) => PoseGuess

/** Along the axis, square to it, turned in the picture, nearer, tilted: by so many px, or so many radians. */
export const poseMoves: Move[] = [
  (g, px) => ({ ...g, u: g.u + px * Math.cos(g.along), v: g.v + px * Math.sin(g.along) }),
  (g, px) => ({ ...g, u: g.u - px * Math.sin(g.along), v: g.v + px * Math.cos(g.along) }),
  (g, _, angle) => ({ ...g, along: g.along + angle }),
  (g, _, angle) => ({ ...g, distance: g.distance * (1 + angle) }),
  (g, _, angle) => {
    const tilt = Math.max(-1.1, Math.min(1.1, g.tilt + 2 * angle))
    return { ...g, tilt, distance: (g.distance * Math.cos(g.tilt)) / Math.cos(tilt) }
  },
]

function judged(judge: Judge, guess: PoseGuess): Candidate | null {
  const agreement = judge(guess)
  return agreement && { guess, score: scoreOf(agreement) }
}

const weights: Record<keyof Agreement, number> = {
  strongSide: 0.5,
  weakSide: 0.7,
  flare: 1,
  tangentLines: 1.2,
  cheeks: 1.5,
  lay: 1.5,
  lengthwise: -1,
  rings: -1,
  texture: -0.5,
  besideContrast: 0.4,
  endContrast: 0.4,
  uneven: -1,
  smallness: -1,
  offCentre: -1,
}
const weighed = Object.entries(weights) as [keyof Agreement, number][]

export function scoreOf(agreement: Agreement): number {
  let sum = 0
  for (const [name, weight] of weighed) sum += weight * agreement[name]
  return sum
}
