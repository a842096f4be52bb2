/** Undo and redo: what was done and what was taken back, one entry a gesture. */
import type { Gesture } from './document'

export type History = { done: readonly Gesture[]; undone: readonly Gesture[] }

export const emptyHistory: History = { done: [], undone: [] }

/** More entries than anybody takes back in a sitting. */
const longest = 300

export function remember(history: History, gesture: Gesture): History {
  return { done: [...history.done, gesture].slice(-longest), undone: [] }
}

/** The gesture to take back, and the history after it; null where there is nothing to take back. */
export function stepBack(history: History): { gesture: Gesture; history: History } | null {
  const gesture = history.done.at(-1)
  if (!gesture) return null
  return { gesture, history: { done: history.done.slice(0, -1), undone: [...history.undone, gesture] } }
}

/** The gesture to do once more, and the history after it; null where nothing was taken back. */
export function stepForward(history: History): { gesture: Gesture; history: History } | null {
  const gesture = history.undone.at(-1)
  if (!gesture) return null
  return { gesture, history: { done: [...history.done, gesture], undone: history.undone.slice(0, -1) } }
}

/** Drops every entry that touches the row: after somebody else changed it, taking ours back would throw theirs away. */
export function forgetRow(history: History, rowId: string): History {
  const keep = (gesture: Gesture) => !gesture.edits.some((edit) => edit.id === rowId)
  return { done: history.done.filter(keep), undone: history.undone.filter(keep) }
}
