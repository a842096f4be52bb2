/**
 * The tool *Trace*: taps on a crack, and the line between them follows it. A tap beyond an end goes on from there, one beside the line pulls it over;
 * a tap on the line takes hold of it there. Legs that are not followed yet are straight; `stepTraced` takes in what came back.
 */
import { type Mark, markSchema } from '@/lib/model/mark'
import { markLetter, nextMarkName } from '../mark-names'
import { apart, type MapPlace, nudged, type Place, unwrapped } from './place'
import { still, type ToolContext, type ToolEvent, type ToolStep } from './tool'

/**
 * `ways[i]`: what lies between tap i and tap i + 1; null while it is not followed. `number` changes with every change of its ends. `snap`: taps
 * near the line are taken for it; not where a person has put one in its place by keys.
 */
export type Way = { number: number; points: readonly MapPlace[] | null; snap: boolean }
export type TraceState = {
  taps: readonly MapPlace[]
  ways: readonly Way[]
  held: number | null
  chosen: number | null
  lastNumber: number
}

export const noTrace: TraceState = { taps: [], ways: [], held: null, chosen: null, lastNumber: 0 }

export function stepTrace(state: TraceState, event: ToolEvent, context: ToolContext): ToolStep<TraceState> {
  const { taps } = state
  switch (event.type) {
    case 'press': {
      const at = onMap(event.at, context)
      if (!at) return still(state)
      if (event.vertex !== null) return still(takenHold(state, event.vertex))
      return still(tapped(state, nearTurn(at, taps), context.surface.radius))
    }
    case 'move': {
      const at = state.held === null ? null : onMap(event.at, context)
      return still(at && state.held !== null ? moved(state, state.held, nearTurn(at, taps)) : state)
    }
    case 'release':
      return still({ ...state, held: null })
    case 'give-up':
      return still(noTrace)
    case 'choose-vertex':
      return still({ ...state, chosen: event.vertex === null ? null : (tapOfVertex(state, event.vertex) ?? state.chosen) })
    case 'drop-point':
    case 'remove':
      return still(dropped(state, state.chosen ?? taps.length - 1))
    case 'nudge': {
      const index = state.chosen ?? taps.length - 1
      const tap = taps[index]
      return still(tap ? moved(state, index, nudged(tap, event.right, event.up) as MapPlace, false) : state)
    }
    case 'bend':
      return still(tapAdded(state, context))
    case 'keep': {
      const mark = tracedMark(state, context)
      if (!mark) return still(state)
      return {
        state: { ...noTrace, lastNumber: state.lastNumber },
        edits: [{ kind: 'mark', id: context.newRowId(), before: null, after: mark }],
        words: `Trace mark ${markLetter(mark)}`,
      }
    }
  }
}

/**
 * The way with this number was followed: `points` from tap to tap, both included. Its taps go onto the line, but for the one in the hand; a way
 * whose ends moved meanwhile has another number and is waited for.
 */
export function stepTraced(state: TraceState, number: number, points: readonly MapPlace[]): TraceState {
  const leg = state.ways.findIndex((way) => way.number === number)
  const first = points[0]
  const last = points.at(-1)
  if (leg < 0 || !first || !last) return state
  const ways = state.ways.map((way, i) => (i === leg ? { ...way, points: points.slice(1, -1) } : way))
  const taps = state.taps.map((tap, i) => {
    if (i === state.held) return tap
    return i === leg ? first : i === leg + 1 ? last : tap
  })
  return { ...state, taps, ways }
}

/** All vertices of the line, taps and what lies between them. */
export function traceVertices({ taps, ways }: TraceState): MapPlace[] {
  const all = taps.flatMap((tap, i) => [tap, ...(i < ways.length ? (ways[i].points ?? []) : [])])
  return unwrapped(all) as MapPlace[]
}

/** The mark that keeping the trace would make; null while it has fewer than two taps. */
export function tracedMark(state: TraceState, context: Pick<ToolContext, 'document' | 'journalId'>): Mark | null {
  if (state.taps.length < 2) return null
  const { document, journalId } = context
  const points = traceVertices(state).map(({ theta, s }) => ({
    angleDeg: Number(((theta * 180) / Math.PI).toFixed(4)),
    s: Number(s.toFixed(4)),
  }))
  return { ...markSchema.parse({ id: nextMarkName(document, journalId), journalId, shape: 'line' }), points }
}

/** The vertex of the whole line at which a tap stands. */
export function vertexOfTap({ ways }: TraceState, tap: number): number {
  let vertex = 0
  for (let i = 0; i < tap; i++) vertex += 1 + (ways[i]?.points?.length ?? 0)
  return vertex
}

function tapOfVertex(state: TraceState, vertex: number): number | null {
  const tap = state.taps.findIndex((_, i) => vertexOfTap(state, i) === vertex)
  return tap < 0 ? null : tap
}

function onMap(at: Place, context: ToolContext): MapPlace | null {
  const place = at.on === 'map' ? at : context.convert(at, { on: 'map' })
  return place?.on === 'map' ? place : null
}

/** The same place on the turn on which the line lies. */
function nearTurn(at: MapPlace, taps: readonly MapPlace[]): MapPlace {
  const last = taps.at(-1)
  if (!last) return at
  return { ...at, theta: at.theta + 2 * Math.PI * Math.round((last.theta - at.theta) / (2 * Math.PI)) }
}

function takenHold(state: TraceState, vertex: number): TraceState {
  const known = tapOfVertex(state, vertex)
  if (known !== null) return { ...state, held: known, chosen: known }
  const at = traceVertices(state)[vertex]
  const leg = state.taps.findLastIndex((_, i) => vertexOfTap(state, i) < vertex)
  return at && leg >= 0 ? inserted(state, leg, at) : state
}

function tapped(state: TraceState, at: MapPlace, radius: number): TraceState {
  const { taps, ways } = state
  const first = taps[0]
  const last = taps.at(-1)
  if (!first || !last) return { ...state, taps: [at], held: 0, chosen: 0 }
  const beside = taps.length > 1 ? nearestLeg(state, at, radius) : null
  const toEnds = Math.min(apart(at, first, radius), apart(at, last, radius))
  if (beside && beside.distance < 0.6 * toEnds) return inserted(state, beside.leg, at)
  const number = state.lastNumber + 1
  const way: Way = { number, points: null, snap: true }
  if (taps.length > 1 && apart(at, first, radius) < apart(at, last, radius))
    return { taps: [at, ...taps], ways: [way, ...ways], held: 0, chosen: 0, lastNumber: number }
  return { taps: [...taps, at], ways: [...ways, way], held: taps.length, chosen: taps.length, lastNumber: number }
}

function inserted(state: TraceState, leg: number, at: MapPlace): TraceState {
  const { taps, ways, lastNumber } = state
  const two: Way[] = [
    { number: lastNumber + 1, points: null, snap: true },
    { number: lastNumber + 2, points: null, snap: true },
  ]
  return {
    taps: [...taps.slice(0, leg + 1), at, ...taps.slice(leg + 1)],
    ways: [...ways.slice(0, leg), ...two, ...ways.slice(leg + 1)],
    held: leg + 1,
    chosen: leg + 1,
    lastNumber: lastNumber + 2,
  }
}

/** A tap without a pointer, to be moved by keys: the first in the middle of the map, each further one 4 mm on. */
function tapAdded(state: TraceState, { surface }: ToolContext): TraceState {
  const last = state.taps.at(-1)
  const at: MapPlace = last ? { ...last, theta: last.theta + 4 / surface.radius } : { on: 'map', theta: Math.PI, s: surface.totalS / 2 }
  const taps = [...state.taps, at]
  const number = state.lastNumber + 1
  const ways: readonly Way[] = last ? [...state.ways, { number, points: null, snap: false }] : state.ways
  return { taps, ways, held: null, chosen: taps.length - 1, lastNumber: number }
}

function moved(state: TraceState, index: number, at: MapPlace, snap = true): TraceState {
  let lastNumber = state.lastNumber
  const ways = state.ways.map((way, i) => (i === index || i === index - 1 ? { number: ++lastNumber, points: null, snap } : way))
  return { ...state, taps: state.taps.map((tap, i) => (i === index ? at : tap)), ways, chosen: index, lastNumber }
}

function dropped(state: TraceState, index: number): TraceState {
  const taps = state.taps.filter((_, i) => i !== index)
  const chosen = taps.length > 0 ? Math.min(index, taps.length - 1) : null
  if (taps.length === 0) return { ...noTrace, lastNumber: state.lastNumber }
  if (index === 0) return { ...state, taps, ways: state.ways.slice(1), held: null, chosen }
  if (index === state.taps.length - 1) return { ...state, taps, ways: state.ways.slice(0, -1), held: null, chosen }
  const joined: Way = { number: state.lastNumber + 1, points: null, snap: true }
  const ways = [...state.ways.slice(0, index - 1), joined, ...state.ways.slice(index + 1)]
  return { taps, ways, held: null, chosen, lastNumber: joined.number }
}

function nearestLeg(state: TraceState, at: MapPlace, radius: number): { leg: number; distance: number } | null {
  let best: { leg: number; distance: number } | null = null
  state.ways.forEach((way, leg) => {
    const line = [state.taps[leg], ...(way.points ?? []), state.taps[leg + 1]]
    for (let i = 1; i < line.length; i++) {
      const distance = offStretch(at, line[i - 1], line[i], radius)
      if (!best || distance < best.distance) best = { leg, distance }
    }
  })
  return best
}

function offStretch(at: MapPlace, from: MapPlace, to: MapPlace, radius: number): number {
  const [dx, dy] = [(to.theta - from.theta) * radius, to.s - from.s]
  const [px, py] = [(at.theta - from.theta) * radius, at.s - from.s]
  const square = dx * dx + dy * dy
  const t = square > 0 ? Math.min(1, Math.max(0, (px * dx + py * dy) / square)) : 0
  return Math.hypot(px - t * dx, py - t * dy)
}
