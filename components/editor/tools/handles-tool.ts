/** Setting and moving the handles of a photograph: points on the two sides and the rings, oil hole, witness mark. */
import type { Handles, Photo, Pixel } from '@/lib/model/photo'
import type { Row } from '../document'
import { addHandle, type HandleRef, type HandleStep, handlePixel, moveHandle, removeHandle } from './handles'
import { still, type ToolStep } from './tool'

export type HandlesState = {
  held: HandleRef | null
  chosen: HandleRef | null
  /** The handles as they are being moved, until they are let go. */
  draft: Handles | null
  /** The pointer has left the photograph: the point is held at its edge. */
  atEdge: boolean
}

export const noHandle: HandlesState = { held: null, chosen: null, draft: null, atEdge: false }

export type HandlesEvent =
  | { type: 'press'; at: Pixel; handle: HandleRef | null }
  | { type: 'move'; at: Pixel }
  | { type: 'release' }
  | { type: 'give-up' }
  | { type: 'remove' }
  | { type: 'nudge'; right: number; up: number }
  | { type: 'choose'; handle: HandleRef | null }

export function stepHandles(state: HandlesState, event: HandlesEvent, row: Row<Photo>, step: HandleStep | null): ToolStep<HandlesState> {
  const photo = row.value
  const handles = state.draft ?? photo.handles
  switch (event.type) {
    case 'press': {
      if (event.handle) return still({ held: event.handle, chosen: event.handle, draft: null, atEdge: false })
      if (!step) return still({ ...state, chosen: null })
      const { at, atEdge } = heldInside(photo, event.at)
      const added = addHandle(photo.handles, step, at)
      return still({ held: added.ref, chosen: added.ref, draft: added.handles, atEdge })
    }
    case 'move': {
      if (!state.held) return still(state)
      const { at, atEdge } = heldInside(photo, event.at)
      return still({ ...state, draft: moveHandle(handles, state.held, at), atEdge })
    }
    case 'release': {
      const letGo = { ...state, held: null, draft: null }
      return state.draft ? change(letGo, row, state.draft, 'Set a handle') : still(letGo)
    }
    case 'give-up':
      return still(state.held ? { ...noHandle, chosen: exists(photo.handles, state.held) ? state.held : null } : noHandle)
    case 'choose':
      return still({ ...noHandle, chosen: event.handle })
    case 'remove':
      if (!state.chosen) return still(state)
      return change(noHandle, row, removeHandle(photo.handles, state.chosen), 'Drop a handle')
    case 'nudge': {
      const from = state.chosen ? handlePixel(photo.handles, state.chosen) : null
      if (!state.chosen || !from) return still(state)
      const { at, atEdge } = heldInside(photo, [from[0] + event.right, from[1] - event.up])
      return change({ ...state, atEdge }, row, moveHandle(photo.handles, state.chosen, at), 'Move a handle')
    }
  }
}

function exists(handles: Handles, ref: HandleRef): boolean {
  return handlePixel(handles, ref) !== null
}

function heldInside(photo: Photo, [u, v]: Pixel): { at: Pixel; atEdge: boolean } {
  const at: Pixel = [clamp(u, photo.width), clamp(v, photo.height)]
  return { at, atEdge: at[0] !== u || at[1] !== v }
}

function clamp(value: number, most: number): number {
  return Math.min(most, Math.max(0, value))
}

function change(state: HandlesState, row: Row<Photo>, handles: Handles, words: string): ToolStep<HandlesState> {
  return { state, edits: [{ kind: 'photo', id: row.id, before: row.value, after: { ...row.value, handles } }], words }
}
