/** What a tool is: a pure step from a state and an event to the next state and the edits that it makes. */
import type { Surface } from '@/lib/journal/surface'
import type { BenchDocument, Edit } from '../document'
import type { Ground, Place } from './place'

export type ToolEvent =
  /** `vertex`: the draft's or chosen mark's vertex under the pointer. `markRow`: the mark under it. */
  | { type: 'press'; at: Place; vertex: number | null; markRow: string | null }
  | { type: 'move'; at: Place }
  | { type: 'release' }
  | { type: 'keep' }
  | { type: 'give-up' }
  | { type: 'bend' }
  | { type: 'drop-point' }
  | { type: 'remove' }
  /** px on a photograph; degrees and mm on the map. */
  | { type: 'nudge'; right: number; up: number }
  | { type: 'choose-vertex'; vertex: number | null }

export type ToolContext = {
  document: BenchDocument
  /** The journal on the bench, by its id within the inspection file. */
  journalId: string
  surface: Surface
  newRowId: () => string
  /** A place in the terms of another ground; null where it cannot be seen there or the photograph is not fitted. */
  convert: (place: Place, ground: Ground) => Place | null
}

export type ToolStep<State> = { state: State; edits: readonly Edit[]; words: string }

export function still<State>(state: State): ToolStep<State> {
  return { state, edits: [], words: '' }
}
