/**
 * Where the glow of the fillets begins, under ultraviolet: the hue leaves that of ground steel at a tangent line, either at once or along the fillet; at both
 * ends alike, so that where the journal lies along its axis does not depend on how.
 */
import { type Surface, surfacePoint } from '../journal/surface'
import type { Vec3 } from '../journal/vector'
import type { Camera } from './camera'
import { faces, type Facing, facingOf, ringStretch } from './propose-curves'
import { type ColourPlanes, huePlane } from './propose-planes'
import { greyAt, parabolaTop, type Patch } from './snap-profile'

export function huePatch(planes: ColourPlanes): Patch {
  const { width, height, scale } = planes
  return { u: 0, v: 0, scale, width, height, grey: huePlane(planes) }
}

const stretchesOfRing = 20
/** Share of what faces the camera that is read. */
const readShare = 0.8
/** The hue this far outside is set against that twice as far inside, mm. */
const windowMm = 0.6
/** The least deviation of hue that is more than noise. */
const leastDeviation = 0.01
/** So many deviations count one half. */
const halfStep = 2

type GlowStretch = { at: Vec3; across: readonly [number, number]; evidence: Float64Array }
/** Evidence, 0 to 1, that glow begins, by px outwards from a tangent line: for each stretch of it, and their mean. */
export type GlowRing = { stretches: GlowStretch[]; together: Float64Array; stepPx: number }

/** The front's and the rear's ring, each `reachPx` inwards and outwards. */
export function glowRings(surface: Surface, camera: Camera, facing: Facing, hue: Patch, reachPx: number): [GlowRing, GlowRing] {
  const windowPx = windowMm * nearPxPerMm(surface, camera)
  return [
    glowRing(surface, camera, facing, 'front', hue, reachPx, windowPx),
    glowRing(surface, camera, facing, 'rear', hue, reachPx, windowPx),
  ]
}

function glowRing(
  surface: Surface,
  camera: Camera,
  facing: Facing,
  end: 'front' | 'rear',
  hue: Patch,
  reachPx: number,
  windowPx: number,
): GlowRing {
  const s = end === 'front' ? surface.frontTangentS : surface.rearTangentS
  const stepPx = hue.scale / 2
  const window = Math.max(1, Math.round(windowPx / stepPx))
  const half = Math.ceil(reachPx / stepPx)
  const stretches: GlowStretch[] = []
  const together = new Float64Array(2 * half + 1)
  for (let i = 0; i < stretchesOfRing; i++) {
    const theta = facing.middle + 2 * readShare * ((i + 0.5) / stretchesOfRing - 0.5) * facing.half
    if (!faces(surface, camera, { theta, s })) continue
    const [crossing] = ringStretch(surface, camera, s, theta, theta, 1)
    const evidence = crossing && onsetEvidence(hue, crossing, half, window, stepPx)
    if (!evidence) continue
    stretches.push({ at: surfacePoint(surface, { theta, s }), across: crossing.across, evidence })
    for (let k = 0; k < together.length; k++) together[k] += evidence[k] / stretchesOfRing
  }
  return { stretches, together, stepPx }
}

/** From running sums of the hue and its square along the profile; null where it leaves the picture. */
function onsetEvidence(
  hue: Patch,
  { u, v, across }: { u: number; v: number; across: readonly [number, number] },
  half: number,
  window: number,
  stepPx: number,
): Float64Array | null {
  const first = -half - 2 * window
  const count = 2 * half + 1 + 3 * window
  const sums = new Float64Array(count + 1)
  const squares = new Float64Array(count + 1)
  for (let k = 0; k < count; k++) {
    const offset = (first + k) * stepPx
    const value = greyAt(hue, u + offset * across[0], v + offset * across[1])
    if (value === null) return null
    sums[k + 1] = sums[k] + value
    squares[k + 1] = squares[k] + value * value
  }
  return Float64Array.from({ length: 2 * half + 1 }, (_, i) => {
    const at = i + 2 * window
    const inside = (sums[at] - sums[i]) / (2 * window)
    const outside = (sums[at + window] - sums[at]) / window
    const deviation = Math.sqrt(Math.max(0, (squares[at] - squares[i]) / (2 * window) - inside * inside))
    const step = (outside - inside) / (deviation + leastDeviation)
    return step > 0 ? step / (step + halfStep) : 0
  })
}

/** How far along its axis, mm towards the rear, the journal lies from where the camera has it: where both ends together begin to glow most clearly. */
export function glowSlide(surface: Surface, camera: Camera, hue: Patch, reachMm: number): number {
  const facing = facingOf(surface, camera)
  if (!facing) return 0
  const pxMm = nearPxPerMm(surface, camera)
  const [front, rear] = glowRings(surface, camera, facing, hue, reachMm * pxMm)
  const last = front.together.length - 1
  const sum = front.together.map((value, i) => value + rear.together[last - i])
  let best = 0
  for (let i = 1; i < sum.length; i++) if (sum[i] > sum[best]) best = i
  return ((last / 2 - best) * front.stepPx) / pxMm
}

/** Along the axis where it faces the camera. */
function nearPxPerMm(surface: Surface, { focalPx, rotation, translation }: Camera): number {
  return (focalPx * Math.hypot(rotation[2], rotation[5])) / (Math.hypot(...translation) - surface.radius)
}

/** How much glow begins at both tangent lines, 0 to 2. */
export function glowAgreement(surface: Surface, camera: Camera, hue: Patch): number {
  const facing = facingOf(surface, camera)
  return facing
    ? glowRings(surface, camera, facing, hue, besidePx * hue.scale).reduce((sum, { together }) => sum + Math.max(...together), 0)
    : 0
}

/** So far off, px of the hue's picture, glow still begins at a tangent line. */
const besidePx = 1.5

/** Where glow begins at each stretch of a ring, within reach of it: what its own evidence and that of all stretches together speak for. */
export function glowEdges(
  { stretches, together, stepPx }: GlowRing,
  reachPx: number,
): { at: Vec3; across: readonly [number, number]; offset: number }[] {
  const middle = (together.length - 1) / 2
  const reach = Math.min(middle - 1, Math.round(reachPx / stepPx))
  return stretches.flatMap(({ at, across, evidence }) => {
    const both = (i: number) => evidence[i] + 1.5 * together[i]
    let best = middle - reach
    for (let i = best + 1; i <= middle + reach; i++) if (both(i) > both(best)) best = i
    if (evidence[best] < leastEvidence) return []
    return [{ at, across, offset: (best - middle + parabolaTop(both(best - 1), both(best), both(best + 1))) * stepPx }]
  })
}

const leastEvidence = 0.3
