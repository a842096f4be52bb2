/**
 * The table of patterns applied to what is true, written again from the published rules: true numbers by brute force, no uncertainty,
 * everything known. For counting how often a crack pattern comes out milder than it is.
 */
import { type DrawnLine, holeArc, trueNumbers, wrapped } from '../fixtures/render/drawn-line'
import type { Metal, MetalEnd, MetalHole } from '../fixtures/render/metal'

export type TruePattern = 'radius-crack' | 'oil-hole-crack' | 'diagonal-crack' | 'near-oil-hole' | 'other-line' | 'patch' | 'pit-or-stain'
export type DrawnMark = DrawnLine & { shape: 'line' | 'area'; named?: 'pit' | 'stain' }

type Flat = readonly [around: number, along: number]

export function truePattern(metal: Metal, mark: DrawnMark): TruePattern {
  const closed = mark.shape === 'area' ? [...mark.vertices, mark.vertices[0]] : mark.vertices
  const outline = trueNumbers(metal, { ...mark, vertices: closed })
  const box = mark.shape === 'area' ? leastBox(flatten(metal, mark.vertices)) : null
  const line = box ? (box.longest >= 3 * box.shortest ? { ...mark, vertices: unflatten(metal, box.axis) } : null) : mark
  const along = line && trueNumbers(metal, line)
  const leans = (deg: number) => deg > 20 && deg < 75
  const diagonal = along !== null && (leans(along.angleToAxisDeg) || leans(along.worstAngleDeg))
  if (outline.filletFrontMm <= band(metal.front) || outline.filletRearMm <= band(metal.rear)) return 'radius-crack'
  const holes = metal.holes.map((hole, i) => ({
    hole,
    distance: mark.shape === 'area' && holds(metal, mark, hole) ? 0 : outline.oilHoles[i].distanceMm,
    larger: Math.max(hole.mouthAround, hole.mouthAlong),
  }))
  if (holes.some(({ distance }) => distance <= 0.2)) return 'oil-hole-crack'
  const near = (larger: number) => Math.max(4.8, larger / 2)
  const crack = holes.some(
    ({ hole, distance, larger }) =>
      distance <= near(larger) || (line !== null && distance <= 2 * larger && runsInto(metal, line.vertices, hole)),
  )
  if (diagonal) return crack ? 'oil-hole-crack' : 'diagonal-crack'
  if (holes.some(({ distance, larger }) => distance <= near(larger))) return 'near-oil-hole'
  if (line) return 'other-line'
  return mark.named && box && box.longest <= 5 ? 'pit-or-stain' : 'patch'
}

export function isCrack(pattern: TruePattern): boolean {
  return pattern === 'radius-crack' || pattern === 'oil-hole-crack' || pattern === 'diagonal-crack'
}

function band(end: MetalEnd): number {
  return end.form === 'tangent' ? Math.max(1.5 * end.radius, 3.2) : 3.2
}

function flatten(metal: Metal, vertices: DrawnLine['vertices']): Flat[] {
  return vertices.map(({ theta, s }) => [metal.radius * theta, s])
}

function unflatten(metal: Metal, points: readonly Flat[]): DrawnLine['vertices'] {
  return points.map(([around, s]) => ({ theta: around / metal.radius, s }))
}

/** The box of least area over all directions, tried in steps of a tenth of a degree. */
function leastBox(points: readonly Flat[]): { longest: number; shortest: number; axis: [Flat, Flat] } {
  let best = { area: Infinity, longest: 0, shortest: 0, axis: [points[0], points[0]] as [Flat, Flat] }
  for (let tenth = 0; tenth < 900; tenth++) {
    const [c, s] = [Math.cos((tenth * Math.PI) / 1800), Math.sin((tenth * Math.PI) / 1800)]
    const a = points.map(([x, y]) => x * c + y * s)
    const b = points.map(([x, y]) => y * c - x * s)
    const [a0, a1, b0, b1] = [Math.min(...a), Math.max(...a), Math.min(...b), Math.max(...b)]
    if ((a1 - a0) * (b1 - b0) >= best.area) continue
    const at = (p: number, q: number): Flat => [p * c - q * s, p * s + q * c]
    const lying = a1 - a0 >= b1 - b0
    best = {
      area: (a1 - a0) * (b1 - b0),
      longest: Math.max(a1 - a0, b1 - b0),
      shortest: Math.min(a1 - a0, b1 - b0),
      axis: lying ? [at(a0, (b0 + b1) / 2), at(a1, (b0 + b1) / 2)] : [at((a0 + a1) / 2, b0), at((a0 + a1) / 2, b1)],
    }
  }
  return best
}

/** Is the hole's centre within the outline? Winding number by summed angles. */
function holds(metal: Metal, mark: DrawnLine, hole: MetalHole): boolean {
  const centre = (hole.angleDeg * Math.PI) / 180
  const s = holeArc(metal, hole)
  let turn = 0
  const seen = mark.vertices.map((v) => Math.atan2(v.s - s, metal.radius * wrapped(v.theta - centre)))
  seen.forEach((angle, i) => {
    turn += wrapped(seen[(i + 1) % seen.length] - angle)
  })
  return Math.abs(turn) > Math.PI
}

/** Does the end nearer to the hole, run on straight in the direction of its last 6 mm, meet the mouth? Walked in tiny steps. */
function runsInto(metal: Metal, vertices: DrawnLine['vertices'], hole: MetalHole): boolean {
  const centre: Flat = [(metal.radius * hole.angleDeg * Math.PI) / 180, holeArc(metal, hole)]
  const flat = flatten(metal, vertices)
  const turn = 2 * Math.PI * metal.radius
  const tilt = (hole.tiltDeg * Math.PI) / 180
  const offMouth = ([x, y]: Flat): number => {
    const dx = x - centre[0] - turn * Math.round((x - centre[0]) / turn)
    const dy = y - centre[1]
    const across = dx * Math.cos(tilt) - dy * Math.sin(tilt)
    const along = dx * Math.sin(tilt) + dy * Math.cos(tilt)
    return Math.hypot(across / (hole.mouthAround / 2), along / (hole.mouthAlong / 2)) - 1
  }
  const ends = offMouth(flat[0]) < offMouth(flat[flat.length - 1]) ? flat : [...flat].reverse()
  let [cos2, sin2, left] = [0, 0, 6]
  let inner: Flat = ends[0]
  for (let i = 1; i < ends.length && left > 0; i++) {
    const [dx, dy] = [ends[i][0] - ends[i - 1][0], ends[i][1] - ends[i - 1][1]]
    const length = Math.hypot(dx, dy)
    const taken = Math.min(left, length)
    const lean = Math.atan2(dx, dy)
    cos2 += taken * Math.cos(2 * lean)
    sin2 += taken * Math.sin(2 * lean)
    inner = [ends[i - 1][0] + (dx * taken) / length, ends[i - 1][1] + (dy * taken) / length]
    left -= taken
  }
  const lean = Math.atan2(sin2, cos2) / 2
  const outward = Math.sin(lean) * (ends[0][0] - inner[0]) + Math.cos(lean) * (ends[0][1] - inner[1]) >= 0 ? 1 : -1
  for (let walked = 0; walked < 200; walked += 0.02) {
    const at: Flat = [ends[0][0] + outward * walked * Math.sin(lean), ends[0][1] + outward * walked * Math.cos(lean)]
    if (offMouth(at) <= 0) return true
  }
  return false
}
