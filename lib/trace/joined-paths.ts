/**
 * Joins paths that continue each other: a crack that fades for a moment, the pieces of a net on both sides of a line that crosses it. Of all pairs of
 * ends near enough, the pair with the least gap and turn is joined first; an end is joined once.
 */
import { wrapped } from '../journal/wrapped-angle'
import type { LineEvidence } from './line-evidence'
import { heightAt, type RidgePath } from './ridge-path'

/**
 * Places between two ends at most; and by how much the way may turn there, radians: over places of which `isOnLine` tells that they are
 * on a line (a knot of a net), and over bare metal.
 */
export type JoinLimits = { gap: number; turnOnLine: number; turnOverMetal: number; isOnLine: (x: number, y: number) => boolean }

type End = { path: number; last: boolean; x: number; y: number /** Outward. */; angle: number }
type Pair = { a: End; b: End; cost: number }

/** An end's direction is that of so many points. */
const tailPoints = 6
/** A radian of turning counts as so many places of gap. */
const turnPlaces = 5
const stepPlaces = 2
/** Of a bridge that leads over a line, so much may lie off it. */
const offLineShare = 0.25

/** Longest first where paths hang together; places of the grid, x past the turn where need be. */
export function joinedPaths(evidence: LineEvidence, paths: readonly RidgePath[], limits: JoinLimits): RidgePath[] {
  const { columns } = evidence
  const ends = paths.flatMap((path, index) => [endOf(path, index, false), endOf(path, index, true)])
  const pairs = pairsOf(ends, columns, limits).sort((a, b) => a.cost - b.cost)
  const partner = new Map<End, End>()
  // the path at the other end of the chain so far: a chain is not closed
  const otherEnd = ({ path, last }: End) => ends[2 * path + (last ? 0 : 1)]
  const farEnd = new Map<End, End>(ends.map((end) => [end, otherEnd(end)]))
  for (const { a, b } of pairs) {
    if (partner.has(a) || partner.has(b) || farEnd.get(a) === b) continue
    partner.set(a, b)
    partner.set(b, a)
    const [farA, farB] = [farEnd.get(a) as End, farEnd.get(b) as End]
    farEnd.set(farA, farB)
    farEnd.set(farB, farA)
  }
  const done = new Uint8Array(paths.length)
  const joined: RidgePath[] = []
  for (const start of ends) {
    if (partner.has(start) || done[start.path]) continue
    let path = paths[start.path]
    let [entry, exit] = [start, otherEnd(start)]
    done[start.path] = 1
    if (entry.last) path = reversed(path)
    for (let next = partner.get(exit); next; next = partner.get(exit)) {
      ;[entry, exit] = [next, otherEnd(next)]
      done[entry.path] = 1
      const own = paths[entry.path]
      path = bridged(evidence, path, entry.last ? reversed(own) : own)
    }
    joined.push(path)
  }
  return joined
}

function endOf({ points }: RidgePath, path: number, last: boolean): End {
  const tip = last ? points[points.length - 1] : points[0]
  const back = Math.min(points.length - 1, tailPoints)
  const inner = last ? points[points.length - 1 - back] : points[back]
  return { path, last, x: tip.x, y: tip.y, angle: Math.atan2(tip.y - inner.y, tip.x - inner.x) }
}

function pairsOf(ends: readonly End[], columns: number, limits: JoinLimits): Pair[] {
  const pairs: Pair[] = []
  for (let i = 0; i < ends.length; i++) {
    for (let k = i + 1; k < ends.length; k++) {
      const [a, b] = [ends[i], ends[k]]
      if (a.path === b.path || Math.abs(a.y - b.y) > limits.gap) continue
      const off = b.x - a.x
      const dx = off - columns * Math.round(off / columns)
      const apart = Math.hypot(dx, b.y - a.y)
      if (apart > limits.gap) continue
      const by = Math.abs(wrapped(b.angle + Math.PI - a.angle))
      // where the ends lie apart, the bridge must lead on as well
      const bridge = apart > 3 ? Math.atan2(b.y - a.y, dx) : null
      const aside = bridge === null ? 0 : Math.max(Math.abs(wrapped(bridge - a.angle)), Math.abs(wrapped(b.angle + Math.PI - bridge)))
      const most = Math.max(by, aside)
      const turn = leadsOverLine(a, dx, b.y - a.y, limits) ? limits.turnOnLine : limits.turnOverMetal
      if (most <= turn) pairs.push({ a, b, cost: apart + turnPlaces * most })
    }
  }
  return pairs
}

function leadsOverLine({ x, y }: End, dx: number, dy: number, { isOnLine }: JoinLimits): boolean {
  const steps = Math.max(1, Math.round(Math.hypot(dx, dy) / stepPlaces))
  let off = 0
  for (let k = 1; k < steps; k++) if (!isOnLine(x + (dx * k) / steps, y + (dy * k) / steps)) off++
  return off <= offLineShare * steps
}

function bridged(evidence: LineEvidence, first: RidgePath, second: RidgePath): RidgePath {
  const from = first.points[first.points.length - 1]
  const to = second.points[0]
  const shift = -evidence.columns * Math.round((to.x - from.x) / evidence.columns)
  const apart = Math.hypot(to.x + shift - from.x, to.y - from.y)
  const steps = Math.max(1, Math.round(apart / stepPlaces))
  const bridge = Array.from({ length: steps - 1 }, (_, k) => {
    const t = (k + 1) / steps
    return { x: from.x + t * (to.x + shift - from.x), y: from.y + t * (to.y - from.y) }
  })
  return {
    points: [...first.points, ...bridge, ...second.points.map(({ x, y }) => ({ x: x + shift, y }))],
    heights: [...first.heights, ...bridge.map(({ x, y }) => heightAt(evidence, x, y)), ...second.heights],
  }
}

function reversed({ points, heights }: RidgePath): RidgePath {
  return { points: [...points].reverse(), heights: [...heights].reverse() }
}
