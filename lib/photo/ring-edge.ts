/**
 * The shape of a ring measured in a picture under ultraviolet, where a fillet's glow begins at its tangent line: places around the ring between the outermost
 * picks, each a step of colour averaged along the ring. Where exactly on the metal the glow begins is not known; that it begins at one place
 * all around is. So the picks tell where the ring lies, the edge how it bends: it goes into the joint solve beside the picks by the scatter that it has, and
 * only where it lies within their noise.
 */
import { median } from '../journal/median'
import { ringOf } from '../journal/surface'
import { bilinearAt } from './bilinear'
import { project } from './camera'
import type { Fit } from './cylinder-fit'
import { baseOf, type FitState, stateAt, unknownCount, unknownIndex } from './fit-state'
import { huber } from './fit-task'
import type { Prior } from './lens-priors'
import type { Observation } from './observation'
import type { PixelPicture } from './propose-planes'
import { emptyReading, readObservation } from './reading'
import { parabolaTop } from './snap-profile'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

type RingObservation = Extract<Observation, { type: 'circle' }>
export type EdgeFit = Pick<Fit, 'camera' | 'surface' | 'contourSigns' | 'pickSigmaPx'>

const places = 12
const leastPlaces = 7
const leastPicks = 3
/** px of the picture: to either side; averaged along; the blur of the step; between samples. */
const reachPx = 5
const alongPx = 12
const blurPx = 1.2
const stepPx = 0.25
/** The steepest place must be so much steeper than any other further off than `apartPx`. */
const leastLead = 1.3
const apartPx = 2
/** Between the two sides, in deviations of a pixel's noise. */
const leastContrast = 0.7
/** One standard deviation of a measured place, px of the picture: at least, and beyond which it is no edge. */
const sigmaPx = { least: 0.5, most: 2 }
const gateSigmas = 3

/** What the edges of the picked rings say, each place against the mean of its ring. */
export function ringEdges(picture: PixelPicture, fit: EdgeFit, observations: readonly Observation[]): Prior[] {
  const state = stateAt(baseOf(fit.camera, fit.surface), new Float64Array(unknownCount))
  const byRing = new Map<number, RingObservation[]>()
  for (const one of observations) {
    if (one.type !== 'circle' || one.handle.kind !== 'ring') continue
    byRing.set(one.handle.ring, [...(byRing.get(one.handle.ring) ?? []), one])
  }
  return [...byRing.values()].flatMap((picks) => (picks.length < leastPicks ? [] : ringEdge(picture, fit, state, picks)))
}

function ringEdge(picture: PixelPicture, fit: EdgeFit, state: FitState, picks: readonly RingObservation[]): Prior[] {
  const scale = picture.width / fit.camera.width
  const thetas = picks.map((pick) => thetaOf(state, pick, fit))
  const [from, to] = [Math.min(...thetas), Math.max(...thetas)]
  if (!(to > from)) return []
  const crossings = Array.from({ length: places }, (_, k) => crossingAt(state, picks[0], from + ((to - from) * (k + 0.5)) / places))
  const offsets = stepsAcross(picture, crossings, scale)
  const found = offsets.flatMap((offset, k) => (offset === null ? [] : [{ t: (2 * k + 1) / places - 1, offset, k }]))
  const smooth = smoothed(found)
  if (!smooth || smooth.sigma > sigmaPx.most) return []
  const sigma = Math.max(sigmaPx.least, smooth.sigma)
  const off = picks.map((pick, i) => {
    const crossing = crossingAt(state, pick, thetas[i])
    const t = (2 * (thetas[i] - from)) / (to - from) - 1
    return crossing ? (pick.u - crossing.u) * crossing.nu + (pick.v - crossing.v) * crossing.nv - smooth.at(t) / scale : Number.NaN
  })
  const mean = off.reduce((sum, value) => sum + value, 0) / off.length
  if (!(Math.abs(mean) <= gateSigmas * Math.hypot(fit.pickSigmaPx / Math.sqrt(picks.length), sigma / scale))) return []
  const seen = smooth.kept.flatMap(({ k, offset }): RingObservation[] => {
    const crossing = crossings[k]
    if (!crossing) return []
    const { u, v, nu, nv } = crossing
    return [{ ...picks[0], u: u + (offset / scale) * nu, v: v + (offset / scale) * nv }]
  })
  return seen.map((_, i) => shapePrior(seen, i, fit, sigma / scale))
}

/** How far place i lies off the ring, less the mean of all places, whitened. */
function shapePrior(seen: readonly RingObservation[], i: number, { contourSigns }: EdgeFit, sigma: number): Prior {
  const reading = emptyReading()
  return {
    unknown: unknownIndex.offsetX,
    evaluate(state) {
      const row = new Float64Array(unknownCount)
      let residual = 0
      for (const [k, observation] of seen.entries()) {
        if (!readObservation(state, observation, contourSigns, reading)) return { residual: 0, row: row.fill(0) }
        const share = ((k === i ? 1 : 0) - 1 / seen.length) / sigma
        residual += share * reading.residualsPx[0]
        for (let j = 0; j < unknownCount; j++) row[j] += share * reading.rows[j]
      }
      const { value, slope } = huber(residual)
      return { residual: value, row: row.map((part) => slope * part) }
    },
  }
}

/** The angle about the shaft at which a pick lies on its ring, from where the camera stands, radians. */
function thetaOf(state: FitState, pick: RingObservation, { contourSigns }: EdgeFit): number {
  const reading = emptyReading()
  if (!readObservation(state, pick, contourSigns, reading)) return Number.NaN
  const theta = Math.atan2(reading.point[1], reading.point[0]) - Math.atan2(state.place[1], state.place[0])
  return theta - 2 * Math.PI * Math.round(theta / (2 * Math.PI))
}

/** A place of the ring as it is seen: unit directions along it and across it, away from the journal's middle. */
type RingCrossing = { u: number; v: number; nu: number; nv: number }

function crossingAt(state: FitState, { at }: RingObservation, fromCamera: number): RingCrossing | null {
  const { axial, radius } = ringOf(state.surface, at)
  const theta = fromCamera + Math.atan2(state.place[1], state.place[0])
  const seen = (turn: number, z: number) => project(state.camera, [radius * Math.cos(turn), radius * Math.sin(turn), z])
  const away = axial < state.surface.width / 2 ? -0.1 : 0.1
  const [here, next, beside] = [seen(theta, axial), seen(theta + 0.01, axial), seen(theta, axial + away)]
  if (!here || !next || !beside) return null
  const size = Math.hypot(next.u - here.u, next.v - here.v)
  const [nu, nv] = [-(next.v - here.v) / size, (next.u - here.u) / size]
  const sign = Math.sign(nu * (beside.u - here.u) + nv * (beside.v - here.v)) || 1
  return { ...here, nu: sign * nu, nv: sign * nv }
}

/** A parabola through the offsets, what lies far off it left out; null where too few are left. */
function smoothed(found: readonly { t: number; offset: number; k: number }[]) {
  let kept = [...found]
  for (let round = 0; round < 3; round++) {
    if (kept.length < leastPlaces) return null
    const normal = new Float64Array(9)
    const right = [0, 0, 0]
    for (const { t, offset } of kept) {
      const row = [1, t, t * t]
      for (let i = 0; i < 3; i++) {
        right[i] += row[i] * offset
        for (let j = 0; j < 3; j++) normal[3 * i + j] += row[i] * row[j]
      }
    }
    const inverse = inverseOfPositiveDefinite(normal, 3)
    if (!inverse) return null
    const [a, b, c] = [0, 1, 2].map((i) => right.reduce((sum, value, j) => sum + inverse[3 * i + j] * value, 0))
    const at = (t: number) => a + b * t + c * t * t
    const left = kept.map(({ t, offset }) => Math.abs(offset - at(t)))
    // three of the places' freedoms are the parabola's
    const sigma = 1.4826 * median(left) * Math.sqrt(kept.length / (kept.length - 3))
    const next = kept.filter((_, i) => left[i] <= Math.max(1, 2.5 * sigma))
    if (next.length === kept.length || round === 2) return { kept, at, sigma }
    kept = next
  }
  return null
}

/** Where the colours step most towards those of the fillet at each place, px of the picture from the ring; null where nothing stands out. */
function stepsAcross(picture: PixelPicture, crossings: readonly (RingCrossing | null)[], scale: number): (number | null)[] {
  const half = Math.round(reachPx / stepPx)
  const beside: [number[][], number[][]] = [[], []]
  const profiles = crossings.map((crossing) => {
    if (!crossing) return null
    const { u, v, nu, nv } = crossing
    const profile = Array.from({ length: 2 * half + 1 }, () => [0, 0, 0])
    for (let along = -alongPx; along <= alongPx; along++) {
      for (let k = -half; k <= half; k++) {
        const across = k * stepPx
        const colour = colourAt(picture, u * scale + across * nu - along * nv - 0.5, v * scale + across * nv + along * nu - 0.5)
        if (!colour) return null
        for (let c = 0; c < 3; c++) profile[k + half][c] += colour[c]
        if (Number.isInteger(across) && Math.abs(across) >= 2) beside[k < 0 ? 0 : 1].push(colour)
      }
    }
    return profile
  })
  const weights = beside[0].length > 0 ? discriminant(beside[0], beside[1]) : null
  if (!weights) return crossings.map(() => null)
  return profiles.map((profile) => {
    const line = profile?.map((colour) => colour.reduce((sum, value, c) => sum + weights[c] * value, 0))
    return line ? steepestIn(line, half) : null
  })
}

function steepestIn(line: readonly number[], half: number): number | null {
  const reach = Math.round((2.5 * blurPx) / stepPx)
  const steep = line.map((_, i) => {
    let sum = 0
    for (let k = -reach; k <= reach; k++) {
      const x = (k * stepPx) / blurPx
      sum += x * Math.exp(-0.5 * x * x) * line[Math.max(0, Math.min(line.length - 1, i + k))]
    }
    return sum
  })
  const best = steep.indexOf(Math.max(...steep))
  if (best < 1 || best > line.length - 2) return null
  const others = steep.filter((_, i) => Math.abs(i - best) * stepPx > apartPx)
  if (steep[best] < leastLead * Math.max(0, ...others)) return null
  return (best + parabolaTop(steep[best - 1], steep[best], steep[best + 1]) - half) * stepPx
}

/** The weights of red, green and blue that tell outside (greater) from inside best by their noise (R. A. Fisher, 1936); null where they are alike. */
function discriminant(inside: readonly number[][], outside: readonly number[][]): number[] | null {
  const mean = (colours: readonly number[][]) => [0, 1, 2].map((c) => colours.reduce((sum, colour) => sum + colour[c], 0) / colours.length)
  const [inner, outer] = [mean(inside), mean(outside)]
  const scatter = new Float64Array(9)
  for (let i = 0; i < 3; i++) scatter[4 * i] = 1
  for (const [colours, middle] of [
    [inside, inner],
    [outside, outer],
  ] as const) {
    for (const colour of colours) {
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++)
          scatter[3 * i + j] += ((colour[i] - middle[i]) * (colour[j] - middle[j])) / (inside.length + outside.length)
      }
    }
  }
  const inverse = inverseOfPositiveDefinite(scatter, 3)
  if (!inverse) return null
  const weights = [0, 1, 2].map((i) => [0, 1, 2].reduce((sum, j) => sum + inverse[3 * i + j] * (outer[j] - inner[j]), 0))
  const square = weights.reduce((sum, weight, i) => sum + weight * (outer[i] - inner[i]), 0)
  return square < leastContrast ** 2 ? null : weights
}

/** Null outside the picture. */
function colourAt(picture: PixelPicture, x: number, y: number): number[] | null {
  const colour = [0, 1, 2].map((c) => bilinearAt(picture, x, y, (at) => picture.data[at + c]))
  return Number.isNaN(colour[0]) ? null : colour
}
