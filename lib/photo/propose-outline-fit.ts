/**
 * From a pose that is nearly right to the outline itself: places of steepest change of colour across the two sides and the contours of the fillets,
 * and the pose that fits them by least squares (Gauss-Newton; the weights of A. E. Beaton and J. W. Tukey, 1974, so that what a rag, an oil
 * film or a web puts in the way does not count). A contour moves across itself as the place of the surface beneath it does.
 */
import type { Surface } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import { type Camera, cameraPlace, emptySight, look } from './camera'
import {
  changeAcross,
  type ColourGrid,
  contourInto,
  cornersOf,
  curveStride,
  emptyCurve,
  filletStations,
  halfChange,
  hands,
  sideInto,
} from './propose-outline'
import { cameraOfGuess, type Frame, type PoseGuess } from './propose-pose'
import { type Move, poseMoves } from './propose-search'
import { glowEdges, glowRings } from './propose-glow'
import { facingOf } from './propose-curves'
import { parabolaTop, type Patch } from './snap-profile'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

/** The hue of an ultraviolet photograph, and whether something tells its focal length. */
export type Glow = { hue: Patch; focalKnown: boolean }

export type OutlineFit = {
  guess: PoseGuess
  /** Share of each corner's places that agree with the pose; 0 where its contour is out of sight. */
  corners: number[]
  /** Median of what agrees, px of a picture 2400 px wide. */
  scatterPx: number
  /** Standard deviation that the places which agree leave, of a tangent line's place along the axis where it faces the camera. */
  slideSigmaMm: number
}

/** How far to either side an edge is looked for, px of a picture 2400 px wide; a round each. */
const reaches = { sides: [14, 10, 7, 5, 4], whole: [9, 7, 5, 4, 4, 3, 3] }
/** Edges are found no better than this, px of a picture 2400 px wide. */
const leastScatterPx = 0.3
/** Neighbouring places err alike: so many count as one. */
const alike = 4
/** A place agrees within so many scatters. */
const agreeing = 4
/** A change of colour that is no edge, grey levels, three channels together. */
const noEdge = 6
/** How far outwards of both tangent lines glow begins, mm; and how far beyond its window a ring is read, px of a picture 2400 px wide. */
const onsetSigmaMm = 0.15
const glowMarginPx = 6
/** How well a focal length is known that nothing tells: the main cameras of phones are alike (common practice, no source). */
const focalLogSigma = 0.05
/** How well the search knows each unknown, px of a picture 2400 px wide. */
const priorPx = 30

/**
 * @param glow under ultraviolet, where tangent lines are seen by the glow that begins there: they also tell the focal length
 * @param knownPx how well the start is known by each move of a pose, standard deviations, px of a picture 2400 px wide; null: it is a mere guess
 * @returns null where too little of the outline is seen
 */
export function outlineFit(
  surface: Surface,
  frame: Frame,
  grid: ColourGrid,
  start: PoseGuess,
  by: 'sides' | 'whole',
  glow: Glow | null = null,
  knownPx: readonly number[] | null = null,
): OutlineFit | null {
  const unit = Math.max(frame.width, frame.height) / 2400
  const moves = glow && !glow.focalKnown ? [...poseMoves, longerLens] : poseMoves
  const unknowns = glow ? moves.length + 1 : moves.length
  let guess = start
  let result: OutlineFit | null = null
  const gone = new Float64Array(unknowns)
  for (const reach of reaches[by]) {
    const camera = cameraOfGuess(guess, surface, frame)
    const curves: Edge[][] = outlineCurves(surface, camera, by === 'whole').map((curve) => edgesAcross(curve, grid, reach * unit))
    const size = (guess.focalPx * surface.radius) / guess.distance
    const rings = glow ? glowCurves(surface, camera, glow.hue, reach * unit, glowMarginPx * unit) : []
    curves.push(...rings)
    const moved = moves.map((move) => cameraOfGuess(move(guess, unit, unit / size), surface, frame))
    const normal = new Float64Array(unknowns * unknowns)
    const right = new Float64Array(unknowns)
    const pxPerRadian = size / unit
    for (let k = 0; k < poseMoves.length; k++) {
      normal[k * unknowns + k] = 1 / (knownPx?.[k] ?? priorPx) ** 2
      // what is known holds the start, a guess only each step
      if (knownPx) right[k] = -gone[k] * normal[k * unknowns + k]
    }
    if (glow) normal[unknowns * unknowns - 1] = (surface.radius / (onsetSigmaMm * pxPerRadian)) ** 2
    if (moves.length > poseMoves.length) {
      const k = poseMoves.length
      normal[k * unknowns + k] = 1 / (focalLogSigma * pxPerRadian) ** 2
      right[k] = normal[k * unknowns + k] * Math.log(start.focalPx / guess.focalPx) * pxPerRadian
    }
    const shares: number[] = []
    const scatters: number[] = []
    curves.forEach((edges, index) => {
      const sizes = edges
        .filter(({ found }) => found)
        .map(({ offset }) => Math.abs(offset) / unit)
        .sort((a, b) => a - b)
      const scatter = Math.max(leastScatterPx, 1.5 * (sizes[sizes.length >> 1] ?? reach))
      let agree = 0
      for (const { offset, found, at, across, strength } of edges) {
        const residual = offset / unit
        const far = residual / (agreeing * scatter)
        if (!found || Math.abs(far) >= 1) continue
        agree++
        scatters.push(Math.abs(residual))
        const weight = (strength * (1 - far * far) ** 2) / (scatter * scatter * alike)
        const row = moved.map((there) => shiftAcross(camera, there, at, across) / unit)
        if (glow) row.push(index >= curves.length - rings.length ? 1 : 0)
        for (let a = 0; a < unknowns; a++) {
          right[a] += weight * row[a] * residual
          for (let b = 0; b < unknowns; b++) normal[a * unknowns + b] += weight * row[a] * row[b]
        }
      }
      shares.push(edges.length > 0 ? agree / edges.length : 0)
    })
    const covariance = inverseOfPositiveDefinite(normal, unknowns)
    if (!covariance) return result
    const step = Array.from({ length: unknowns }, (_, a) => {
      let sum = 0
      for (let b = 0; b < unknowns; b++) sum += covariance[a * unknowns + b] * right[b]
      return Math.max(-reach, Math.min(reach, sum))
    })
    for (let k = 0; k < unknowns; k++) gone[k] += step[k]
    const sorted = scatters.sort((a, b) => a - b)
    guess = moves.reduce((from, move, k) => move(from, step[k] * unit, (step[k] * unit) / size), guess)
    const pxMm = (guess.focalPx * Math.cos(guess.tilt)) / guess.distance
    result = {
      guess,
      corners: shares.slice(2, curves.length - rings.length),
      scatterPx: sorted[sorted.length >> 1] ?? reach,
      slideSigmaMm: (slideSigmaPx(surface, camera, moved, covariance, unknowns, unit) * unit) / pxMm,
    }
  }
  return result
}

/** A longer lens further away. */
const longerLens: Move = (guess, _, angle) => ({ ...guess, focalPx: guess.focalPx * (1 + angle), distance: guess.distance * (1 + angle) })

function glowCurves(surface: Surface, camera: Camera, hue: Patch, reachPx: number, marginPx: number): Edge[][] {
  const facing = facingOf(surface, camera)
  if (!facing) return []
  return glowRings(surface, camera, facing, hue, reachPx + marginPx).map((ring) =>
    glowEdges(ring, reachPx).map((edge) => ({ ...edge, strength: 1, found: true })),
  )
}

/** The two sides, then the corners. */
function outlineCurves(surface: Surface, camera: Camera, withCorners: boolean): Float64Array[] {
  const curve = emptyCurve()
  const sides = hands.map((hand) => curve.slice(0, curveStride * sideInto(curve, surface, camera, hand)))
  if (!withCorners) return sides
  const corners = cornersOf(surface).map(({ end, hand }) =>
    curve.slice(0, curveStride * contourInto(curve, filletStations(surface, end), surface[end].radius, camera, hand)),
  )
  return [...sides, ...corners]
}

type Edge = { at: Vec3; across: readonly [number, number]; offset: number; strength: number; found: boolean }

/** The strongest change of colour across each place of a curve. */
function edgesAcross(curve: Float64Array, grid: ColourGrid, reachPx: number): Edge[] {
  const step = grid.scale / 2
  const half = Math.max(2, Math.ceil(reachPx / step))
  const edges: Edge[] = []
  for (let k = curveStride; k + curveStride < curve.length; k += curveStride) {
    const du = curve[k + curveStride] - curve[k - curveStride]
    const dv = curve[k + curveStride + 1] - curve[k - curveStride + 1]
    const size = Math.hypot(du, dv)
    if (size === 0) continue
    const across: [number, number] = [-dv / size, du / size]
    const changes = Array.from({ length: 2 * half + 1 }, (_, i) =>
      changeAcross(grid, curve[k] + (i - half) * step * across[0], curve[k + 1] + (i - half) * step * across[1], across[0], across[1]),
    )
    let best = 1
    for (let i = 2; i < changes.length - 1; i++) if (changes[i] > changes[best]) best = i
    const peak = changes[best] > changes[best - 1] && changes[best] >= changes[best + 1] && changes[best] > noEdge
    const offset = (best - half + (peak ? parabolaTop(changes[best - 1], changes[best], changes[best + 1]) : 0)) * step
    edges.push({
      at: [curve[k + 2], curve[k + 3], curve[k + 4]],
      across,
      offset,
      strength: changes[best] / (changes[best] + halfChange),
      found: peak,
    })
  }
  return edges
}

const from = emptySight()
const to = emptySight()

/** How far a place moves across a curve from one camera to another, px. */
function shiftAcross(before: Camera, after: Camera, [x, y, z]: Vec3, across: readonly [number, number]): number {
  if (!look(before, x, y, z, from) || !look(after, x, y, z, to)) return 0
  return (to[0] - from[0]) * across[0] + (to[1] - from[1]) * across[1]
}

/** Of the worse of both tangent lines, along the axis, where it faces the camera; px of a picture 2400 px wide. */
function slideSigmaPx(
  surface: Surface,
  camera: Camera,
  moved: readonly Camera[],
  covariance: Float64Array,
  unknowns: number,
  unit: number,
): number {
  const [x, y] = cameraPlace(camera)
  const facing = Math.atan2(y, x)
  let worst = 0
  for (const z of [surface.frontTangentZ, surface.rearTangentZ]) {
    const at: Vec3 = [surface.radius * Math.cos(facing), surface.radius * Math.sin(facing), z]
    if (!look(camera, at[0], at[1], z, from) || !look(camera, at[0], at[1], z + 0.1, to)) continue
    const size = Math.hypot(to[0] - from[0], to[1] - from[1])
    const along: [number, number] = [(to[0] - from[0]) / size, (to[1] - from[1]) / size]
    const row = moved.map((there) => shiftAcross(camera, there, at, along) / unit)
    let variance = 0
    for (let a = 0; a < moved.length; a++) for (let b = 0; b < moved.length; b++) variance += row[a] * covariance[a * unknowns + b] * row[b]
    worst = Math.max(worst, Math.sqrt(variance))
  }
  return worst
}
