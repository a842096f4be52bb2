/**
 * Where the search for a camera may set out from. With picks on both sides the two tangent planes give the axis in
 * closed form, for each of its two senses and for some tilts beside it (towards and away from the camera look alike
 * in a distant view). Otherwise poses are tried over a grid of directions, tilts and distances.
 */
import { type Surface, ringOf } from '../journal/surface'
import { add, applyTransposed, cross, dot, type Mat3, multiply, norm, scale, subtract, unit, type Vec3 } from '../journal/vector'
import { undistorted } from './camera'
import type { FitBase } from './fit-state'
import type { ContourSigns } from './fit-task'
import type { Observation } from './observation'

export type Lens = { width: number; height: number; focalPx: number; k1: number }

/** A pose with the way round that the two sides then have, and how badly the picks' rays miss what they were picked on. */
export type FitStart = { base: FitBase; signs: ContourSigns; roughCost: number }

export type StartSearch = {
  /** The most promising first. */
  starts(): FitStart[]
  /** What a found pose could be taken for: its axis reversed, mirrored towards the camera, and both. */
  rivalsOf(found: Pick<FitBase, 'rotation' | 'translation' | 'surface'> & Lens): FitStart[]
}

export function fitStarts(surface: Surface, observations: readonly Observation[], lens: Lens): StartSearch {
  const picks = observations.map((o) => startPick(surface, o, lens))
  const room = meetingRoom(picks.length)
  return {
    starts() {
      const towards = unit(picks.reduce((sum, { ray }) => add(sum, unit(ray)), [0, 0, 0] as Vec3))
      const fromSides = axesFromSides(surface, picks, towards)
      const [lines, sample] = fromSides.length > 0 ? [fromSides, picks] : [axesOnGrid(surface, picks, towards), thinned(picks)]
      return lines
        .flatMap(({ direction, through }) =>
          [1, -1].map((sense) => placed(sample, poseBase(surface, lens, scale(direction, sense), through), room)),
        )
        .sort((p, q) => p.roughCost - q.roughCost)
    },
    rivalsOf({ rotation, translation, ...own }) {
      const direction: Vec3 = [rotation[2], rotation[5], rotation[8]]
      const view = unit(translation)
      const mirrored = subtract(direction, scale(view, 2 * dot(direction, view)))
      return [scale(direction, -1), mirrored, scale(mirrored, -1)].map((d) =>
        placed(picks, poseBase(own.surface, own, d, translation), room),
      )
    },
  }
}

/** A pick as the starts see it: its ray in the camera frame, and the circle or the angle that it was picked on. */
type StartPick = { ray: Vec3; list: 0 | 1 | null; axial: number | null; radius: number; angle: readonly [cos: number, sin: number] | null }

function startPick(surface: Surface, observation: Observation, lens: Lens): StartPick {
  const ray: Vec3 = [...undistorted(lens, observation), 1]
  if (observation.type === 'contour') return { ray, list: observation.list, axial: null, radius: surface.radius, angle: null }
  if (observation.type === 'circle') return { ray, list: null, ...ringOf(surface, observation.at), angle: null }
  const { axial, theta } = observation
  return { ray, list: null, axial, radius: surface.radius, angle: [Math.cos(theta), Math.sin(theta)] }
}

/** A grid needs no more than the ends and the middle of each row of picks to be sifted. */
function thinned(picks: readonly StartPick[]): StartPick[] {
  const rows = new Map<string, StartPick[]>()
  picks.forEach((pick, i) => {
    const key = pick.angle ? `point ${i}` : `${pick.list} ${pick.axial} ${pick.radius}`
    rows.set(key, [...(rows.get(key) ?? []), pick])
  })
  return [...rows.values()].flatMap((row) =>
    row.length <= mostOfRow ? row : Array.from({ length: mostOfRow }, (_, i) => row[Math.round((i * (row.length - 1)) / (mostOfRow - 1))]),
  )
}

const mostOfRow = 4

type AxisLine = { direction: Vec3; through: Vec3 }

function axesFromSides(surface: Surface, picks: readonly StartPick[], towards: Vec3): AxisLine[] {
  const [first, second] = [0, 1].map((list) => planeThrough(picks.filter((p) => p.list === list).map((p) => p.ray)))
  if (!first || !second) return []
  const middle = sideMiddle(picks) ?? towards
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
  const mirrored = -2 * Math.asin(Math.max(-1, Math.min(1, direction[2])))
  return [...tilts, mirrored].map((tilt) => ({ direction: unit(turned(direction, hinge, tilt)), through }))
}

/** Radians, beside what the sides say. */
const tilts = [0, 0.25, -0.25, 0.5, -0.5, 0.8, -0.8]

/** Directions and tilts at the distances at which the journal, or half of it, would fill what the picks take up of the view. */
function axesOnGrid(surface: Surface, picks: readonly StartPick[], towards: Vec3): AxisLine[] {
  const widest = picks.reduce((least, { ray }) => Math.min(least, dot(unit(ray), towards)), 1)
  const filling = Math.hypot(surface.radius, surface.width / 2) / Math.tan(Math.acos(Math.max(0.1, Math.min(1 - 1e-9, widest))))
  const right = unit(cross(Math.abs(towards[1]) < 0.9 ? [0, 1, 0] : [1, 0, 0], towards))
  const down = cross(towards, right)
  const lines: AxisLine[] = []
  for (const share of [0.55, 0.8, 1.15]) {
    const distance = Math.max(1.5 * surface.radius, share * filling)
    for (let turn = 0; turn < Math.PI - 1e-9; turn += Math.PI / 12) {
      for (const tilt of [0, 0.3, -0.3, 0.7, -0.7]) {
        const flat = add(scale(right, Math.cos(turn)), scale(down, Math.sin(turn)))
        const direction = add(scale(flat, Math.cos(tilt)), scale(towards, Math.sin(tilt)))
        lines.push({ direction, through: scale(towards, distance) })
      }
    }
  }
  return lines
}

/** The pose whose axis runs so, the middle of the journal at `through` and angle zero towards the camera. */
function poseBase(surface: Surface, { width, height, focalPx, k1 }: Lens, direction: Vec3, through: Vec3): FitBase {
  const towardsCamera = subtract(scale(direction, dot(through, direction)), through)
  const x = unit(norm(towardsCamera) > 1e-9 ? towardsCamera : cross(direction, [1, 0, 0]))
  const y = cross(direction, x)
  const rotation: Mat3 = [x[0], y[0], direction[0], x[1], y[1], direction[1], x[2], y[2], direction[2]]
  return { width, height, focalPx, k1, rotation, translation: through, surface }
}

/** Where each pick's ray meets its cylinder: written over by the next pose that is tried. */
type MeetingRoom = { fromAxis: Float64Array; axials: Float64Array; cosines: Float64Array; sines: Float64Array }

function meetingRoom(count: number): MeetingRoom {
  const row = () => new Float64Array(count)
  return { fromAxis: row(), axials: row(), cosines: row(), sines: row() }
}

/**
 * Slides and rolls a pose so that rings, holes and clock points lie where they were picked, on average. The rough cost
 * sums what is left, each miss in hundredths of the journal's radius and none of them dominating.
 */
function placed(picks: readonly StartPick[], base: FitBase, room: MeetingRoom): FitStart {
  const { surface } = base
  const { fromAxis, axials, cosines, sines } = room
  const origin = applyTransposed(base.rotation, scale(base.translation, -1))
  const slides: number[] = []
  const sideOff = [0, 0]
  let rollCos = 0
  let rollSin = 0
  for (let i = 0; i < picks.length; i++) {
    const { ray, list, axial, radius, angle } = picks[i]
    // where the ray meets the near side of the pick's cylinder, or comes nearest to its axis
    const r = base.rotation
    const dx = r[0] * ray[0] + r[3] * ray[1] + r[6] * ray[2]
    const dy = r[1] * ray[0] + r[4] * ray[1] + r[7] * ray[2]
    const dz = r[2] * ray[0] + r[5] * ray[1] + r[8] * ray[2]
    const a = dx * dx + dy * dy
    const nearest = a > 0 ? -(origin[0] * dx + origin[1] * dy) / a : 0
    const off = a > 0 ? (origin[0] * dy - origin[1] * dx) / Math.sqrt(a) : 0
    const within = radius * radius - off * off
    const along = within > 0 && a > 0 ? nearest - Math.sqrt(within / a) : nearest
    const x = origin[0] + along * dx
    const y = origin[1] + along * dy
    const far = Math.sqrt(x * x + y * y) || 1
    fromAxis[i] = off
    cosines[i] = x / far
    sines[i] = y / far
    axials[i] = origin[2] + surface.width / 2 + along * dz
    if (list !== null) sideOff[list] += off
    if (axial !== null) slides.push(axial - axials[i])
    if (!angle) continue
    rollCos += angle[0] * cosines[i] + angle[1] * sines[i]
    rollSin += angle[1] * cosines[i] - angle[0] * sines[i]
  }
  const slide = slides.length > 0 ? slides.sort((a, b) => a - b)[slides.length >> 1] : 0
  const size = Math.sqrt(rollCos * rollCos + rollSin * rollSin)
  const [cos, sin] = size > 0 ? [rollCos / size, rollSin / size] : [1, 0]
  const signs: ContourSigns = sideOff[0] >= sideOff[1] ? [1, -1] : [-1, 1]
  const unitMm = surface.radius / 100
  let roughCost = 0
  for (let i = 0; i < picks.length; i++) {
    const { list, axial, radius, angle } = picks[i]
    let miss = list === null ? Math.max(0, Math.abs(fromAxis[i]) - radius) : Math.abs(signs[list] * fromAxis[i] - radius)
    const aside = axial === null ? 0 : Math.abs(axial - axials[i] - slide)
    if (angle) {
      const dx = angle[0] - (cos * cosines[i] - sin * sines[i])
      const dy = angle[1] - (sin * cosines[i] + cos * sines[i])
      miss += Math.sqrt(aside * aside + surface.radius * surface.radius * (dx * dx + dy * dy))
    } else miss += aside
    roughCost += Math.log1p((miss / unitMm) ** 2)
  }
  if (slides.length === 0) return { base, signs, roughCost }
  const direction: Vec3 = [base.rotation[2], base.rotation[5], base.rotation[8]]
  // the journal moves by -slide so that what was seen at axial z is z + slide
  return {
    base: {
      ...base,
      rotation: multiply(base.rotation, [cos, sin, 0, -sin, cos, 0, 0, 0, 1]),
      translation: subtract(base.translation, scale(direction, slide)),
    },
    signs,
    roughCost,
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

function sideMiddle(picks: readonly StartPick[]): Vec3 | null {
  const centre = (list: number): Vec3 => unit(picks.reduce((sum, p) => (p.list === list ? add(sum, unit(p.ray)) : sum), [0, 0, 0] as Vec3))
  const a = centre(0)
  const b = centre(1)
  return norm(subtract(a, b)) > 1e-6 ? unit(add(a, b)) : null
}

function turned(a: Vec3, hinge: Vec3, angle: number): Vec3 {
  return add(add(scale(a, Math.cos(angle)), scale(cross(hinge, a), Math.sin(angle))), scale(hinge, dot(hinge, a) * (1 - Math.cos(angle))))
}
