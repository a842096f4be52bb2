/** Points being set one after another: the part that drawing a line, a patch and an outline to leave out have in common. */
import { apart, between, nudged, type Place, unwrapped } from './place'
import type { ToolEvent } from './tool'

export type Outline = {
  points: readonly Place[]
  /** The point under the finger, and where it was before. */
  held: { index: number; from: Place | null } | null
  chosen: number | null
}

export const noOutline: Outline = { points: [], held: null, chosen: null }

/** The outline after an event; `press` must already be on the outline's own ground. */
export function stepOutline(outline: Outline, event: ToolEvent, closed: boolean, radius: number): Outline {
  const after = afterEvent(outline, event, closed, radius)
  return after.points === outline.points ? after : { ...after, points: unwrapped(after.points) }
}

function afterEvent(outline: Outline, event: ToolEvent, closed: boolean, radius: number): Outline {
  switch (event.type) {
    case 'press': {
      const index = event.vertex ?? outline.points.length
      const from = event.vertex === null ? null : (outline.points[index] ?? null)
      const points = event.vertex === null ? [...outline.points, event.at] : outline.points
      return { points, held: { index, from }, chosen: index }
    }
    case 'move':
      return outline.held ? { ...outline, points: replaced(outline.points, outline.held.index, event.at) } : outline
    case 'release':
      return { ...outline, held: null }
    case 'give-up':
      return letGo(outline)
    case 'choose-vertex':
      return { ...outline, chosen: event.vertex }
    case 'drop-point':
    case 'remove': {
      const index = outline.chosen ?? outline.points.length - 1
      const points = outline.points.filter((_, at) => at !== index)
      return { points, held: null, chosen: points.length > 0 ? Math.min(index, points.length - 1) : null }
    }
    case 'bend': {
      const after = longestStretch(outline.points, closed, radius)
      return after === null ? outline : { points: bent(outline.points, after), held: null, chosen: after + 1 }
    }
    case 'nudge': {
      const index = outline.chosen ?? outline.points.length - 1
      const point = outline.points[index]
      return point ? { ...outline, points: replaced(outline.points, index, nudged(point, event.right, event.up)) } : outline
    }
    case 'keep':
      return outline
  }
}

/** Escape: a point in the hand goes back to where it was; otherwise the whole outline is given up. */
function letGo(outline: Outline): Outline {
  const { held, points } = outline
  if (!held) return noOutline
  if (!held.from) return { points: points.filter((_, index) => index !== held.index), held: null, chosen: null }
  return { points: replaced(points, held.index, held.from), held: null, chosen: held.index }
}

export function replaced(points: readonly Place[], index: number, point: Place): Place[] {
  return points.map((old, at) => (at === index ? point : old))
}

/** The points with one more in the middle of the stretch that begins at `after`. */
export function bent(points: readonly Place[], after: number): Place[] {
  const from = points[after]
  const to = points[(after + 1) % points.length]
  if (!from || !to) return [...points]
  return [...points.slice(0, after + 1), between(from, to), ...points.slice(after + 1)]
}

/** Where the longest stretch begins; null where there is none. */
export function longestStretch(points: readonly Place[], closed: boolean, radius: number): number | null {
  const last = closed && points.length > 2 ? points.length : points.length - 1
  let longest: { after: number; length: number } | null = null
  for (let after = 0; after < last; after++) {
    const from = points[after]
    const to = points[(after + 1) % points.length]
    const length = from && to ? apart(from, to, radius) : 0
    if (!longest || length > longest.length) longest = { after, length }
  }
  return longest?.after ?? null
}
