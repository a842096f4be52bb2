/** The tool *Distance*: from one place to another. It writes nothing down. */
import { groundOf, nudged, type Place, sameGround } from './place'
import { still, type ToolContext, type ToolEvent, type ToolStep } from './tool'

export type DistanceState = { from: Place | null; to: Place | null; held: 'from' | 'to' | null }

export const noDistance: DistanceState = { from: null, to: null, held: null }

export function stepDistance(state: DistanceState, event: ToolEvent, context: ToolContext): ToolStep<DistanceState> {
  switch (event.type) {
    case 'press': {
      if (event.vertex !== null) return still({ ...state, held: event.vertex === 0 ? 'from' : 'to' })
      if (!state.from || state.to) return still({ from: event.at, to: null, held: 'from' })
      const to = onGround(state.from, event.at, context)
      return still(to ? { ...state, to, held: 'to' } : state)
    }
    case 'move': {
      const first = state.from
      const at = first ? onGround(first, event.at, context) : event.at
      if (!state.held || !at) return still(state)
      return still(state.held === 'from' ? { ...state, from: at } : { ...state, to: at })
    }
    case 'release':
      return still({ ...state, held: null })
    case 'nudge': {
      const end = state.to ? 'to' : 'from'
      const place = state[end]
      return still(place ? { ...state, [end]: nudged(place, event.right, event.up) } : state)
    }
    case 'drop-point':
    case 'remove':
      return still(state.to ? { ...state, to: null } : noDistance)
    case 'give-up':
      return still(noDistance)
    case 'keep':
    case 'bend':
    case 'choose-vertex':
      return still(state)
  }
}

function onGround(first: Place, at: Place, context: ToolContext): Place | null {
  return sameGround(groundOf(first), groundOf(at)) ? at : context.convert(at, groundOf(first))
}
