/**
 * An open bench: holds the state, sends what waits, one gesture a transaction and one after another, and takes what others changed. A server
 * that stops answering costs nothing: what waits is kept, and goes out when it is back.
 */
import { faultLine } from '@/lib/model/fault'
import { type ApiFailure, failureSentence } from '@/components/ui/api-client'
import { editedRowsSchema } from '@/lib/model/edit'
import type { BenchServer } from './bench-server'
import { type BenchAction, type BenchState, benchReducer, type KnownRows, nextToSend } from './bench-state'
import type { Edit, Gesture } from './document'
import { editedRows, fromServer } from './server-document'
import { serverEdits } from './server-edits'

export type BenchStore = {
  state: () => BenchState
  subscribe: (listener: () => void) => () => void
  perform: (words: string, edits: readonly Edit[]) => void
  undo: () => void
  redo: () => void
  keepMine: (rowId: string) => void
  keepTheirs: (rowId: string) => void
  /** Theirs stays in its row; `edits` add ours as a row of its own. */
  keepBoth: (rowId: string, words: string, edits: readonly Edit[]) => void
  takeBackRefused: () => void
  /** Asks the server for what others changed, and tries again to send what waits. */
  refresh: () => Promise<void>
}

const firstPauseMs = 700
const longestPauseMs = 8000

/**
 * @param newId makes the id of a gesture
 * @param onChange called after each change with what is not saved yet
 * @param onTaken called after the server took a gesture, so that other windows can look
 */
export function createBenchStore(
  opened: BenchState,
  server: BenchServer,
  newId: () => string,
  onChange: (waiting: readonly Gesture[], known: KnownRows) => void,
  onTaken: () => void,
): BenchStore {
  let state = opened
  let pauseMs = firstPauseMs
  let timer: ReturnType<typeof setTimeout> | null = null
  const listeners = new Set<() => void>()

  const dispatch = (action: BenchAction) => {
    const before = state
    state = benchReducer(state, action)
    if (state === before) return
    if (state.waiting !== before.waiting || state.known !== before.known) onChange(state.waiting, state.known)
    for (const listener of listeners) listener()
  }

  const pump = async () => {
    if (state.sendingId !== null || timer !== null) return
    const gesture = nextToSend(state)
    if (!gesture) return
    dispatch({ type: 'sending', gestureId: gesture.id })
    const edits = serverEdits(gesture, state.known)
    const answer = edits.length > 0 ? await server.send(edits) : { ok: true as const, value: { rows: [] } }
    if (answer.ok) {
      pauseMs = firstPauseMs
      const known = editedRows(answer.value.rows).map((row) => [row.id, { version: row.version, removed: row.value === null }] as const)
      dispatch({ type: 'taken', gestureId: gesture.id, known: Object.fromEntries(known) })
      onTaken()
    } else afterFailure(gesture, answer.reason)
    void pump()
  }

  const afterFailure = (gesture: Gesture, failure: ApiFailure) => {
    if (failure.kind === 'unreachable') {
      dispatch({ type: 'unsent' })
      timer = setTimeout(() => {
        timer = null
        void pump()
      }, pauseMs)
      pauseMs = Math.min(longestPauseMs, pauseMs * 2)
      return
    }
    const stale = failure.kind === 'stale' ? editedRowsSchema.safeParse(failure.current) : null
    if (stale?.success) dispatch({ type: 'stale', rows: editedRows(stale.data.rows) })
    else dispatch({ type: 'refused', gestureId: gesture.id, words: refusalWords(failure) })
  }

  const act = (action: BenchAction) => {
    dispatch(action)
    void pump()
  }

  return {
    state: () => state,
    subscribe: (listener) => {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    perform: (words, edits) => {
      if (edits.length > 0) act({ type: 'do', gesture: { id: newId(), words, edits } })
    },
    undo: () => act({ type: 'undo', gestureId: newId() }),
    redo: () => act({ type: 'redo', gestureId: newId() }),
    keepMine: (id) => act({ type: 'keep-mine', id }),
    keepTheirs: (id) => act({ type: 'keep-theirs', id }),
    keepBoth: (id, words, edits) => act({ type: 'keep-both', id, gesture: { id: newId(), words, edits } }),
    takeBackRefused: () => act({ type: 'take-back-refused' }),
    refresh: async () => {
      if (timer !== null) {
        clearTimeout(timer)
        timer = null
      }
      void pump()
      const taken = state.taken
      const answer = await server.load()
      if (answer.ok) dispatch({ type: 'arrived', ...fromServer(answer.value), taken })
      else if (answer.reason.kind === 'unreachable') dispatch({ type: 'away' })
    },
  }
}

function refusalWords(failure: ApiFailure): string {
  const faults = failure.kind === 'refused' ? failure.faults.map(faultLine) : []
  return [failureSentence(failure), ...faults.filter((line) => !failureSentence(failure).includes(line))].join(' ')
}
