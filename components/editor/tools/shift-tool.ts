/** The tool *Shift*: chooses a mark, moves it or one of its points, bends it, drops points, removes it. */
import type { Mark } from '@/lib/model/mark'
import type { Row } from '../document'
import { markLetter } from '../mark-names'
import { fewestPoints } from './draw-tool'
import { bent, longestStretch, replaced } from './outline'
import { groundOfMark, nudged, type Place, placesOf, shifted, withPlaces } from './place'
import { still, type ToolContext, type ToolEvent, type ToolStep } from './tool'

export type ShiftState = {
  markRow: string | null
  vertex: number | null
  /** In the hand: one point, or the whole mark from where it was taken. */
  held: { vertex: number } | { from: Place } | null
  /** The mark as it is being moved, until it is let go. */
  draft: Mark | null
}

export const nothingChosen: ShiftState = { markRow: null, vertex: null, held: null, draft: null }

export function stepShift(state: ShiftState, event: ToolEvent, context: ToolContext): ToolStep<ShiftState> {
  const row = context.document.marks.find((mark) => mark.id === state.markRow)
  switch (event.type) {
    case 'press':
      return still(take(state, event, row, context))
    case 'move':
      return row ? still(drag(state, event.at, row.value, context)) : still(state)
    case 'release': {
      const letGo = { ...state, held: null, draft: null }
      return row && state.draft ? change(letGo, row, state.draft, 'Move') : still(letGo)
    }
    case 'give-up':
      if (state.held) return still({ ...state, held: null, draft: null })
      return still(state.vertex !== null ? { ...state, vertex: null } : nothingChosen)
    case 'choose-vertex':
      return still({ ...state, vertex: event.vertex })
    case 'bend':
      return row ? bend(state, row, context) : still(state)
    case 'drop-point':
      return row ? dropPoint(state, row, context) : still(state)
    case 'remove':
      if (!row) return still(state)
      if (state.vertex !== null) return dropPoint(state, row, context)
      return {
        state: nothingChosen,
        edits: [{ kind: 'mark', id: row.id, before: row.value, after: null }],
        words: `Remove mark ${markLetter(row.value)}`,
      }
    case 'nudge': {
      if (!row) return still(state)
      const places = placesOf(row.value, context.surface)
      const moved = places.map((place, index) =>
        state.vertex === null || state.vertex === index ? nudged(place, event.right, event.up) : place,
      )
      return change(state, row, withPlaces(row.value, moved), 'Move')
    }
    case 'keep':
      return still({ ...state, vertex: null })
  }
}

function take(
  state: ShiftState,
  event: Extract<ToolEvent, { type: 'press' }>,
  row: Row<Mark> | undefined,
  context: ToolContext,
): ShiftState {
  if (row && event.vertex !== null) return { ...state, vertex: event.vertex, held: { vertex: event.vertex }, draft: null }
  if (event.markRow === null) return nothingChosen
  const target = context.document.marks.find((mark) => mark.id === event.markRow)
  const from = target ? context.convert(event.at, groundOfMark(target.value)) : null
  return { markRow: event.markRow, vertex: null, held: from ? { from } : null, draft: null }
}

function drag(state: ShiftState, at: Place, mark: Mark, context: ToolContext): ShiftState {
  const place = state.held ? context.convert(at, groundOfMark(mark)) : null
  if (!state.held || !place) return state
  const { held } = state
  const places = placesOf(mark, context.surface)
  const moved = 'vertex' in held ? replaced(places, held.vertex, place) : places.map((old) => shifted(old, held.from, place))
  return { ...state, draft: withPlaces(mark, moved) }
}

function bend(state: ShiftState, row: Row<Mark>, context: ToolContext): ToolStep<ShiftState> {
  const places = placesOf(row.value, context.surface)
  const closed = row.value.shape === 'area'
  const last = closed ? places.length - 1 : places.length - 2
  const after = state.vertex !== null && state.vertex <= last ? state.vertex : longestStretch(places, closed, context.surface.radius)
  if (after === null) return still(state)
  return change({ ...state, vertex: after + 1 }, row, withPlaces(row.value, bent(places, after)), 'Bend')
}

function dropPoint(state: ShiftState, row: Row<Mark>, context: ToolContext): ToolStep<ShiftState> {
  const places = placesOf(row.value, context.surface)
  const index = state.vertex ?? places.length - 1
  if (places.length <= fewestPoints[row.value.shape]) return still(state)
  const left = places.filter((_, at) => at !== index)
  return change({ ...state, vertex: Math.min(index, left.length - 1) }, row, withPlaces(row.value, left), 'Drop a point of')
}

function change(state: ShiftState, row: Row<Mark>, after: Mark, verb: string): ToolStep<ShiftState> {
  return { state, edits: [{ kind: 'mark', id: row.id, before: row.value, after }], words: `${verb} mark ${markLetter(row.value)}` }
}
