/**
 * The rim of an oil hole measured all round in a photograph whose camera the strip tells: along rays from its middle the steepest
 * place near the mouth's typed size is sought, and middle and size are fitted to those robustly (Tukey's biweight). In the
 * frame where the mouth is a circle of radius 1, r = k + ex cos + ey sin to first order of the middle's offset.
 */
import { median } from '../journal/median'
import { type Camera, emptySight, look, type PhotoPoint } from './camera'
import { greyAt } from './printed-strip-edges'
import type { GreyBytes } from './printed-strip-markers'
import { parabolaTop } from './snap-profile'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

/** An ellipse on the cylinder: semi-axes around and along, mm, and how far it is turned, radians, right-hand positive. */
export type MouthShape = { a: number; b: number; tilt: number }

/** A place on the cylinder, radians and mm along the axis. */
export type CylinderPlace = { theta: number; z: number }

export type MeasuredRim = PhotoPoint & {
  /** Of the middle, each way in the picture, px. */
  sigmaPx: number
  /** Measured over typed size. */
  size: number
}

type Seat = { picture: GreyBytes; camera: Camera; radius: number; shape: MouthShape }

const rays = 96
/** Samples along a ray, to a px, and at most. */
const perPx = 2
const mostSamples = 240
/** Half the length over which a step is averaged, px, and as a share of the mouth's radius. */
const stepPx = 1.5
const stepShare = 0.006
/** The dark mouth is first sought in this range of sizes, then the rim in ever narrower ones about its own. */
const darkRange = [0.55, 1.3] as const
const darkRounds = 3
const rimHalfWidths = [0.08, 0.08, 0.04, 0.025, 0.015, 0.015] as const
/** How far a round may move the middle, in mouths' radii. */
const mostMove = { dark: 0.6, rim: 0.1 } as const
/** A bevel narrower than this, in mouths' radii, is none; the rim is sought this share of it to each side. */
const leastBevel = 0.015
const bevelShare = 0.6
/** How far the rim may be off its typed size. */
const mostOffSize = 0.05
/** Share of all rays that must agree, how closely (px, or of the mouth's radius), and how much steeper than the rest of their ray. */
const leastShare = 0.6
const agreeingWithin = { px: 1, share: 0.008 } as const
const leastClarity = 3
/** Neighbouring rays see the same grain of metal and picture: so many count as one. */
const raysAlike = 3
/** What no number of rays betters: of the picture, px, and of the metal's edge in this light, mm. */
const leastSigma = { px: 0.08, mm: 0.004 } as const
/** A rim that is not of its typed size is worn or rounded, and may be so on one side: this share of the difference. */
const sizeDoubt = 0.5

/** Null where no rim of that size is there. `near`: within a few tenths of the mouth's radius of its middle. */
export function measuredRim(
  picture: GreyBytes,
  camera: Camera,
  radius: number,
  shape: MouthShape,
  near: CylinderPlace,
): MeasuredRim | null {
  const seat: Seat = { picture, camera, radius, shape }
  const settled = settledRing(seat, near)
  if (!settled) return null
  const { at, ring } = settled
  const middle = seenAt(seat, at, 0, 0)
  const east = seenAt(seat, at, 0.01, 0)
  const north = seenAt(seat, at, 0, 0.01)
  if (!middle || !east || !north) return null
  if (Math.abs(ring.size - 1) > mostOffSize || ring.share < leastShare || clarityOf(seat, at, ring.size) < leastClarity) return null
  const px = (point: PhotoPoint) => Math.hypot(point.u - middle.u, point.v - middle.v) / 0.01
  const radiusPx = Math.max(px(east), px(north))
  const own = Math.sqrt(raysAlike) * Math.max(Math.sqrt(ring.covariance[0]) * px(east), Math.sqrt(ring.covariance[3]) * px(north))
  const pxPerMm = Math.max(px(east) / shape.a, px(north) / shape.b)
  const sigmaPx = Math.hypot(own, leastSigma.px, leastSigma.mm * pxPerMm, sizeDoubt * Math.abs(ring.size - 1) * radiusPx)
  return { ...middle, sigmaPx, size: ring.size }
}

/** The middle drawn to the dark mouth, then to the rim around it. */
function settledRing(seat: Seat, near: CylinderPlace): { at: CylinderPlace; ring: Ring } | null {
  let at = near
  let dark = 1
  for (let round = 0; round < darkRounds; round++) {
    const ring = fittedRing(edgesOf(seat, at, darkRange, 'dark inside'))
    if (!ring || Math.hypot(ring.ex, ring.ey) > mostMove.dark) return null
    at = moved(seat, at, ring)
    dark = ring.size
  }
  let size = rimSize(seat, at)
  let ring: Ring | null = null
  for (const widest of rimHalfWidths) {
    // the edge of the bore within a bevel is the steeper one
    const half = size - dark > leastBevel ? Math.min(widest, bevelShare * (size - dark)) : widest
    ring = fittedRing(edgesOf(seat, at, [size - half, size + half], 'any'))
    if (!ring || Math.hypot(ring.ex, ring.ey) > mostMove.rim) return null
    at = moved(seat, at, ring)
    size = ring.size
  }
  return ring && { at, ring }
}

/** Where a place of the mouth's own frame (its rim at radius 1) is seen. */
function seenAt({ camera, radius, shape }: Seat, { theta, z }: CylinderPlace, x: number, y: number): PhotoPoint | null {
  const cos = Math.cos(shape.tilt)
  const sin = Math.sin(shape.tilt)
  const around = theta + (shape.a * x * cos + shape.b * y * sin) / radius
  const sight = emptySight()
  const seen = look(camera, radius * Math.cos(around), radius * Math.sin(around), z - shape.a * x * sin + shape.b * y * cos, sight)
  return seen ? { u: sight[0], v: sight[1] } : null
}

function moved({ radius, shape }: Seat, { theta, z }: CylinderPlace, { ex, ey }: Ring): CylinderPlace {
  const cos = Math.cos(shape.tilt)
  const sin = Math.sin(shape.tilt)
  return { theta: theta + (shape.a * ex * cos + shape.b * ey * sin) / radius, z: z - shape.a * ex * sin + shape.b * ey * cos }
}

/** The steepest place along one ray. */
type RimEdge = { angle: number; r: number; pxPerR: number }

function edgesOf(seat: Seat, at: CylinderPlace, [from, to]: readonly [number, number], kind: 'dark inside' | 'any'): RimEdge[] {
  const edges: RimEdge[] = []
  for (let k = 0; k < rays; k++) {
    const angle = (2 * Math.PI * k) / rays
    const ray = rayOf(seat, at, angle, from, to)
    if (!ray) continue
    const { steps, pxPerR } = ray
    let best = -1
    for (let i = 1; i < steps.length - 1; i++) {
      const size = kind === 'any' ? Math.abs(steps[i]) : steps[i]
      if (size > 0 && (best < 0 || size > Math.abs(steps[best]))) best = i
    }
    if (best < 0) continue
    const offset = parabolaTop(Math.abs(steps[best - 1]), Math.abs(steps[best]), Math.abs(steps[best + 1]))
    edges.push({ angle, r: from + ((to - from) * (best + offset)) / (steps.length - 1), pxPerR })
  }
  return edges
}

/** Change of grey outwards at each sample of a ray; null where it leaves the picture. */
function rayOf(seat: Seat, at: CylinderPlace, angle: number, from: number, to: number): { steps: Float64Array; pxPerR: number } | null {
  const cos = Math.cos(angle)
  const sin = Math.sin(angle)
  const inner = seenAt(seat, at, from * cos, from * sin)
  const half = seenAt(seat, at, ((from + to) / 2) * cos, ((from + to) / 2) * sin)
  const outer = seenAt(seat, at, to * cos, to * sin)
  if (!inner || !half || !outer) return null
  const { picture } = seat
  const outside = [inner, outer].some(({ u, v }) => u < 2 || v < 2 || u > picture.width - 2 || v > picture.height - 2)
  if (outside) return null
  const lengthPx = Math.hypot(outer.u - inner.u, outer.v - inner.v)
  const pxPerR = lengthPx / (to - from)
  const wing = Math.max(stepPx, stepShare * pxPerR)
  // wings reach beyond both ends of the range
  const count = Math.max(8, Math.min(mostSamples, Math.ceil(lengthPx * perPx)))
  const wings = Math.max(1, Math.round((wing * count) / lengthPx))
  const grey = new Float64Array(count + 1 + 2 * wings)
  for (let i = 0; i < grey.length; i++) {
    const t = (i - wings) / count
    // the quadratic through the three places: a straight ray on the map bends a little in the picture
    const [p, q, s] = [2 * (t - 0.5) * (t - 1), 4 * t * (1 - t), 2 * t * (t - 0.5)]
    grey[i] = greyAt(picture, p * inner.u + q * half.u + s * outer.u, p * inner.v + q * half.v + s * outer.v)
  }
  const steps = new Float64Array(count + 1)
  for (let i = 0; i <= count; i++) {
    let sum = 0
    for (let k = 1; k <= wings; k++) sum += grey[i + wings + k] - grey[i + wings - k]
    steps[i] = sum / wings
  }
  return { steps, pxPerR }
}

/** The size near 1 at which the ring about a middle is steepest: the rim and not the bore within its chamfer. */
function rimSize(seat: Seat, at: CylinderPlace): number {
  const [from, to] = [0.9, 1.1]
  const bins = 80
  const sums = new Float64Array(bins + 1)
  for (let k = 0; k < rays; k++) {
    const ray = rayOf(seat, at, (2 * Math.PI * k) / rays, from, to)
    if (!ray) continue
    for (let b = 0; b <= bins; b++) sums[b] += Math.abs(ray.steps[Math.round((b / bins) * (ray.steps.length - 1))])
  }
  const sorted = [...sums].sort((a, b) => a - b)
  const base = sorted[sorted.length >> 2]
  const top = sorted[sorted.length - 1]
  let best: number | null = null
  for (let b = 1; b < bins; b++) {
    if (sums[b] < sums[b - 1] || sums[b] < sums[b + 1] || sums[b] - base < peakShare * (top - base)) continue
    const size = from + ((to - from) * b) / bins
    if (best === null || Math.abs(size - 1) < Math.abs(best - 1)) best = size
  }
  return best ?? 1
}

/** How much steeper the rim is than most of the rays that cross it, in the median. */
function clarityOf(seat: Seat, at: CylinderPlace, size: number): number {
  const ratios: number[] = []
  for (let k = 0; k < rays; k++) {
    const ray = rayOf(seat, at, (2 * Math.PI * k) / rays, size - 0.1, size + 0.1)
    if (!ray) continue
    const sizes = Array.from(ray.steps, Math.abs)
    ratios.push(sizes[sizes.length >> 1] / Math.max(0.5, median(sizes)))
  }
  return ratios.length > 0 ? median(ratios) : 0
}

/** Of the steepest ring, that another must have to be a rim. */
const peakShare = 0.12

type Ring = {
  ex: number
  ey: number
  size: number
  /** Rays that agree, of all. */
  share: number
  /** Of ex and ey, rays held to be independent. */
  covariance: Float64Array
}

function fittedRing(edges: readonly RimEdge[]): Ring | null {
  if (edges.length < leastShare * rays) return null
  let fit = [0, 0, median(edges.map(({ r }) => r))]
  let scatterPx = Number.POSITIVE_INFINITY
  let inverse: Float64Array | null = null
  let agreeing = 0
  for (let round = 0; round < 8; round++) {
    const off = edges.map(({ angle, r, pxPerR }) => (r - fit[2] - fit[0] * Math.cos(angle) - fit[1] * Math.sin(angle)) * pxPerR)
    const bend = tukey * Math.max(0.1, 1.4826 * median(off.map(Math.abs)))
    const information = new Float64Array(9)
    const pull = new Float64Array(3)
    let squares = 0
    let weights = 0
    agreeing = edges.filter(({ pxPerR }, i) => Math.abs(off[i]) < Math.max(agreeingWithin.px, agreeingWithin.share * pxPerR)).length
    edges.forEach(({ angle, r, pxPerR }, i) => {
      const share = Math.abs(off[i]) < bend ? (1 - (off[i] / bend) ** 2) ** 2 : 0
      squares += share * off[i] ** 2
      weights += share
      const row = [Math.cos(angle), Math.sin(angle), 1]
      for (let a = 0; a < 3; a++) {
        pull[a] += share * pxPerR ** 2 * row[a] * r
        for (let b = 0; b < 3; b++) information[3 * a + b] += share * pxPerR ** 2 * row[a] * row[b]
      }
    })
    inverse = inverseOfPositiveDefinite(information, 3)
    if (!inverse) return null
    const by = inverse
    fit = [0, 1, 2].map((a) => by[3 * a] * pull[0] + by[3 * a + 1] * pull[1] + by[3 * a + 2] * pull[2])
    scatterPx = Math.sqrt(squares / Math.max(1, weights - 3))
  }
  if (!inverse) return null
  const [ex, ey, size] = fit
  const covariance = Float64Array.of(inverse[0], inverse[1], inverse[3], inverse[4]).map((value) => value * scatterPx ** 2)
  return { ex, ey, size, share: agreeing / rays, covariance }
}

/** Where Tukey's biweight ends, in deviations. */
const tukey = 4.7
