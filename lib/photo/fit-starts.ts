/**
 * Where the search for a camera may set out from. With picks on both sides the two tangent planes give the axis in
 * closed form, for each of its two senses and for some tilts beside it (towards and away from the camera look alike
 * in a distant view). Otherwise poses are tried over a grid of directions, tilts and distances.
 */
import { type Surface, ringOf } from '../journal/surface'
import {
  add,
  applyTransposed,
  cross,
  dot,
  type Mat3,
  multiply,
  norm,
  rotationOf,
  scale,
  subtract,
  unit,
  type Vec3,
} from '../journal/vector'
import { undistorted } from './camera'
import type { FitBase } from './fit-state'
import type { Observation } from './observation'
import { nearCylinderHit } from './unproject'

export type Lens = { width: number; height: number; focalPx: number; k1: number }

export function fitStarts(surface: Surface, observations: readonly Observation[], lens: Lens): FitBase[] {
  const rays = observations.map((o): Vec3 => [...undistorted(lens, o), 1])
  const towards = unit(rays.reduce((sum, ray) => add(sum, unit(ray)), [0, 0, 0] as Vec3))
  const axes = axesFromSides(surface, observations, rays, towards)
  const lines = axes.length > 0 ? axes : axesOnGrid(surface, towards)
  const starts = lines.flatMap(({ direction, through }) =>
    [1, -1].map((sense) => placed(surface, observations, rays, poseBase(surface, lens, scale(direction, sense), through))),
  )
  if (starts.length <= mostStarts) return starts.map(({ base }) => base)
  return starts
    .sort((p, q) => p.roughCost - q.roughCost)
    .slice(0, mostStarts)
    .map(({ base }) => base)
}

/** Starts of a grid beyond this many are sifted by how nearly the picks' rays meet what they were picked on. */
const mostStarts = 48

type AxisLine = { direction: Vec3; through: Vec3 }

function axesFromSides(surface: Surface, observations: readonly Observation[], rays: readonly Vec3[], towards: Vec3): AxisLine[] {
  const planes = [0, 1].map((list) => planeThrough(rays.filter((_, i) => isSide(observations[i], list))))
  const [first, second] = planes
  if (!first || !second) return []
  const middle = sideMiddle(observations, rays) ?? towards
  const n1 = dot(first, middle) > 0 ? first : scale(first, -1)
  const n2 = dot(second, middle) > 0 ? second : scale(second, -1)
  const along = cross(n1, n2)
  // both planes at distance R from the axis, on its inner sides: (n1 + n2) points from the camera to the axis
  const between = add(n1, n2)
  const half = dot(n1, unit(between))
  if (norm(along) < 1e-6 || !(half > 1e-6)) return []
  const direction = unit(along)
  const foot = scale(unit(between), surface.radius / half)
  // the point of the axis that the picks look at
  const reach = dot(towards, foot) > 0 ? norm(foot) ** 2 / dot(towards, foot) : norm(foot)
  const along0 = dot(scale(towards, reach), direction)
  const through = add(foot, scale(direction, along0))
  const hinge = unit(cross(direction, foot))
  const tilts = [0, 0.25, -0.25, 0.5, -0.5, 0.8, -0.8]
  const mirrored = direction[2]
  return [...tilts.map((tilt) => tilt), -2 * Math.asin(Math.max(-1, Math.min(1, mirrored)))].map((tilt) => ({
    direction: unit(turned(direction, hinge, tilt)),
    through,
  }))
}

function axesOnGrid(surface: Surface, towards: Vec3): AxisLine[] {
  const right = unit(cross(Math.abs(towards[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0], towards))
  const down = cross(towards, right)
  const lines: AxisLine[] = []
  for (const distance of [3, 4.5, 7, 11, 18, 30]) {
    for (let turn = 0; turn < Math.PI - 1e-9; turn += Math.PI / 12) {
      for (const tilt of [0, 0.3, -0.3, 0.7, -0.7]) {
        const flat = add(scale(right, Math.cos(turn)), scale(down, Math.sin(turn)))
        const direction = add(scale(flat, Math.cos(tilt)), scale(towards, Math.sin(tilt)))
        lines.push({ direction, through: scale(towards, distance * surface.radius) })
      }
    }
  }
  return lines
}

/** The pose whose axis runs so, the middle of the journal at `through` and angle zero towards the camera. */
function poseBase(surface: Surface, lens: Lens, direction: Vec3, through: Vec3): FitBase {
  const towardsCamera = subtract(scale(direction, dot(through, direction)), through)
  const x = unit(norm(towardsCamera) > 1e-9 ? towardsCamera : cross(direction, [1, 0, 0]))
  const y = cross(direction, x)
  const rotation: Mat3 = [x[0], y[0], direction[0], x[1], y[1], direction[1], x[2], y[2], direction[2]]
  return { ...lens, rotation, translation: through, surface }
}

/**
 * Slides and rolls a pose so that rings, holes and clock points lie where they were picked, on average. The rough cost
 * sums what is left, each miss in hundredths of the journal's radius and none of them dominating.
 */
function placed(
  surface: Surface,
  observations: readonly Observation[],
  rays: readonly Vec3[],
  base: FitBase,
): { base: FitBase; roughCost: number } {
  const origin = add(applyTransposed(base.rotation, scale(base.translation, -1)), [0, 0, surface.width / 2])
  const meets = observations.map((o, i) =>
    meeting(origin, applyTransposed(base.rotation, rays[i]), o.type === 'circle' ? ringOf(surface, o.at).radius : surface.radius),
  )
  const slides: number[] = []
  let rollCos = 0
  let rollSin = 0
  observations.forEach((o, i) => {
    const axial = o.type === 'circle' ? ringOf(surface, o.at).axial : o.type === 'point' ? o.axial : null
    if (axial !== null) slides.push(axial - meets[i].axial)
    if (o.type !== 'point') return
    rollCos += Math.cos(o.theta - meets[i].angle)
    rollSin += Math.sin(o.theta - meets[i].angle)
  })
  const slide = slides.length > 0 ? [...slides].sort((a, b) => a - b)[slides.length >> 1] : 0
  const roll = rollCos === 0 && rollSin === 0 ? 0 : Math.atan2(rollSin, rollCos)
  const unitMm = surface.radius / 100
  let roughCost = 0
  observations.forEach((o, i) => {
    const { angle, axial, offSurface } = meets[i]
    let miss = o.type === 'contour' ? Math.abs(meets[i].fromAxis - surface.radius) : offSurface
    if (o.type === 'circle') miss += Math.abs(ringOf(surface, o.at).axial - axial - slide)
    if (o.type === 'point') miss += Math.hypot(o.axial - axial - slide, 2 * surface.radius * Math.sin((o.theta - angle - roll) / 2))
    roughCost += Math.log1p((miss / unitMm) ** 2)
  })
  if (slides.length === 0) return { base, roughCost }
  const direction: Vec3 = [base.rotation[2], base.rotation[5], base.rotation[8]]
  // the journal moves by -slide so that what was seen at axial z is z + slide
  return {
    base: {
      ...base,
      rotation: multiply(base.rotation, rotationOf([0, 0, -roll])),
      translation: subtract(base.translation, scale(direction, slide)),
    },
    roughCost,
  }
}

/** Where a ray meets the near side of a cylinder about the z axis, or comes nearest to it. */
function meeting(origin: Vec3, direction: Vec3, radius: number): { angle: number; axial: number; fromAxis: number; offSurface: number } {
  const a = direction[0] ** 2 + direction[1] ** 2
  const nearest = a > 0 ? -(origin[0] * direction[0] + origin[1] * direction[1]) / a : 0
  const fromAxis = Math.hypot(origin[0] + nearest * direction[0], origin[1] + nearest * direction[1])
  const t = nearCylinderHit(origin, direction, radius) ?? nearest
  return {
    angle: Math.atan2(origin[1] + t * direction[1], origin[0] + t * direction[0]),
    axial: origin[2] + t * direction[2],
    fromAxis,
    offSurface: Math.max(0, fromAxis - radius),
  }
}

/** Normal of the plane through the camera that comes nearest to some rays; null for fewer than two. */
function planeThrough(rays: readonly Vec3[]): Vec3 | null {
  if (rays.length < 2) return null
  const mean = scale(
    rays.reduce((sum, ray) => add(sum, ray), [0, 0, 0] as Vec3),
    1 / rays.length,
  )
  let xx = 0
  let xy = 0
  let yy = 0
  for (const ray of rays) {
    const dx = ray[0] - mean[0]
    const dy = ray[1] - mean[1]
    xx += dx * dx
    xy += dx * dy
    yy += dy * dy
  }
  if (xx + yy < 1e-16) return null
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy)
  return unit(cross([Math.cos(angle), Math.sin(angle), 0], mean))
}

function sideMiddle(observations: readonly Observation[], rays: readonly Vec3[]): Vec3 | null {
  const centre = (list: number): Vec3 => {
    const own = rays.filter((_, i) => isSide(observations[i], list))
    return unit(own.reduce((sum, ray) => add(sum, unit(ray)), [0, 0, 0] as Vec3))
  }
  const a = centre(0)
  const b = centre(1)
  return norm(subtract(a, b)) > 1e-6 ? unit(add(a, b)) : null
}

function isSide(observation: Observation, list: number): boolean {
  return observation.type === 'contour' && observation.list === list
}

function turned(a: Vec3, hinge: Vec3, angle: number): Vec3 {
  return add(add(scale(a, Math.cos(angle)), scale(cross(hinge, a), Math.sin(angle))), scale(hinge, dot(hinge, a) * (1 - Math.cos(angle))))
}
