/** The state of an open bench: the document with what is not saved yet in it, the history, and what the server said. */
import {
  applyEdits,
  type BenchDocument,
  findRow,
  type Gesture,
  invertEdits,
  listOf,
  type Row,
  type RowKind,
  takeRow,
  type ValueOf,
} from './document'
import { emptyHistory, forgetRow, type History, remember, stepBack, stepForward } from './history'
import { sameValue } from './same-value'

/** Somebody else changed a row that we changed too. Ours stands in the document, theirs here: neither is lost. */
export type Conflict = ServerRow

/** A row as the server has it now; `value` null: it is removed, and can be put back from that version. */
export type ServerRow = { kind: RowKind; id: string; version: number; value: ValueOf[RowKind] | null }

/** What the server last told of a row: a change to it must name that version. Rows it never had are not listed. */
export type KnownRow = { version: number; removed: boolean }
export type KnownRows = Readonly<Record<string, KnownRow>>

export type BenchState = {
  document: BenchDocument
  known: KnownRows
  history: History
  /** Not yet taken by the server, oldest first. */
  waiting: readonly Gesture[]
  /** The waiting gesture that is on its way. */
  sendingId: string | null
  /** How many gestures the server has taken: an answer asked for before the last one is stale. */
  taken: number
  link: 'fine' | 'away'
  conflicts: readonly Conflict[]
  /** A gesture the server will never take, and why. */
  refused: { gestureId: string; words: string } | null
}

export type BenchAction =
  | { type: 'do'; gesture: Gesture }
  | { type: 'undo'; gestureId: string }
  | { type: 'redo'; gestureId: string }
  | { type: 'sending'; gestureId: string }
  | { type: 'taken'; gestureId: string; known: KnownRows }
  | { type: 'stale'; rows: readonly ServerRow[] }
  | { type: 'refused'; gestureId: string; words: string }
  | { type: 'take-back-refused' }
  /** The gesture on its way met no answer: it waits again. */
  | { type: 'unsent' }
  | { type: 'away' }
  | { type: 'arrived'; document: BenchDocument; known: KnownRows; taken: number }
  | { type: 'keep-mine'; id: string }
  | { type: 'keep-theirs'; id: string }
  | { type: 'keep-both'; id: string; gesture: Gesture }

/** @param waiting what an earlier visit left unsaved, with the versions it was made from: a row that has moved on since becomes a conflict. */
export function openBench(
  document: BenchDocument,
  known: KnownRows,
  kept: { waiting: readonly Gesture[]; known: KnownRows } = { waiting: [], known: {} },
): BenchState {
  const { waiting } = kept
  const shown = waiting.reduce((current, gesture) => applyEdits(current, gesture.edits), document)
  const state: BenchState = {
    document: shown,
    known: { ...known, ...touchedRows(waiting, kept.known) },
    history: emptyHistory,
    waiting,
    sendingId: null,
    taken: 0,
    link: 'fine',
    conflicts: [],
    refused: null,
  }
  return arrivals(state, document, known).reduce(meet, state)
}

export function benchReducer(state: BenchState, action: BenchAction): BenchState {
  switch (action.type) {
    case 'do':
      return { ...perform(state, action.gesture), history: remember(state.history, action.gesture) }
    case 'undo': {
      const step = stepBack(state.history)
      if (!step) return state
      const gesture = { id: action.gestureId, words: step.gesture.words, edits: invertEdits(step.gesture.edits) }
      return { ...perform(state, gesture), history: step.history }
    }
    case 'redo': {
      const step = stepForward(state.history)
      if (!step) return state
      return { ...perform(state, { ...step.gesture, id: action.gestureId }), history: step.history }
    }
    case 'sending':
      return { ...state, sendingId: action.gestureId }
    case 'taken':
      return {
        ...state,
        known: { ...state.known, ...action.known },
        waiting: state.waiting.filter((gesture) => gesture.id !== action.gestureId),
        sendingId: null,
        taken: state.taken + 1,
        link: 'fine',
      }
    case 'stale':
      return { ...action.rows.reduce(meet, state), sendingId: null, link: 'fine' }
    case 'refused':
      return { ...state, sendingId: null, link: 'fine', refused: { gestureId: action.gestureId, words: action.words } }
    case 'take-back-refused': {
      const gesture = state.waiting.find((waiting) => waiting.id === state.refused?.gestureId)
      if (!gesture) return { ...state, refused: null }
      const dropped = gesture.edits.reduce((current, edit) => forgetRow(current, edit.id), state.history)
      return {
        ...state,
        document: applyEdits(state.document, invertEdits(gesture.edits)),
        history: dropped,
        waiting: state.waiting.filter((waiting) => waiting !== gesture),
        refused: null,
      }
    }
    case 'unsent':
      return { ...state, link: 'away', sendingId: null }
    case 'away':
      return state.link === 'away' ? state : { ...state, link: 'away' }
    case 'arrived': {
      const stale = state.sendingId !== null || action.taken !== state.taken
      const next = stale ? state : arrivals(state, action.document, action.known).reduce(meet, withShaft(state, action.document))
      return next.link === 'fine' ? next : { ...next, link: 'fine' }
    }
    case 'keep-mine':
      return keepMine(state, action.id)
    case 'keep-theirs':
      return keepTheirs(state, action.id)
    case 'keep-both':
      return benchReducer(keepTheirs(state, action.id), { type: 'do', gesture: action.gesture })
  }
}

/** The next gesture to send: the oldest whose rows nobody disputes and that no older one still to be settled touches. */
export function nextToSend(state: BenchState): Gesture | null {
  const blocked = new Set(state.conflicts.map((conflict) => conflict.id))
  for (const gesture of state.waiting) {
    const held = gesture.id === state.refused?.gestureId || gesture.edits.some((edit) => blocked.has(edit.id))
    if (!held) return gesture
    for (const edit of gesture.edits) blocked.add(edit.id)
  }
  return null
}

function perform(state: BenchState, gesture: Gesture): BenchState {
  return { ...state, document: applyEdits(state.document, gesture.edits), waiting: [...state.waiting, gesture] }
}

/** The shaft's name and the files of its photographs: nothing on the bench edits them. */
function withShaft(state: BenchState, arrived: BenchDocument): BenchState {
  const { shaft, files } = arrived
  const all = { ...state.document.files, ...files }
  if (sameValue(state.document.shaft, shaft) && sameValue(state.document.files, all)) return state
  return { ...state, document: { ...state.document, shaft, files: all } }
}

/** What was known of the rows that the gestures touch: `kept` may hold more. */
export function touchedRows(gestures: readonly Gesture[], kept: KnownRows): KnownRows {
  const touched = gestures.flatMap((gesture) => gesture.edits.map((edit) => edit.id))
  return Object.fromEntries(touched.flatMap((id) => (kept[id] ? [[id, kept[id]]] : [])))
}

/**
 * The rows of `arrived` that are newer than what we know, and those we show that are gone. A row that is gone while something of ours waits
 * for it is left to the answer to that: it tells the version from which it can be put back.
 */
function arrivals(state: BenchState, arrived: BenchDocument, known: KnownRows): ServerRow[] {
  const rows: ServerRow[] = []
  for (const kind of ['journal', 'photo', 'mark'] as const) {
    for (const row of arrived[listOf[kind]] as readonly Row<ValueOf[RowKind]>[]) {
      const version = known[row.id]?.version ?? 0
      if (version > (state.known[row.id]?.version ?? 0)) rows.push({ kind, id: row.id, version, value: row.value })
    }
    for (const { id } of state.document[listOf[kind]]) {
      const own = state.known[id]
      if (own && !known[id] && !waits(state, id)) rows.push({ kind, id, version: own.version, value: null })
    }
  }
  return rows
}

/** Our state after it met a row as the server has it: taken over where we changed nothing, a conflict where we did. */
function meet(state: BenchState, server: ServerRow): BenchState {
  const mine = findRow(state.document, server.kind, server.id)?.value ?? null
  if (!waits(state, server.id) || sameValue(mine, server.value)) return takeOver(state, server)
  return { ...state, conflicts: [...state.conflicts.filter((conflict) => conflict.id !== server.id), server] }
}

/** The server's row in place of ours; nothing waits for it any more, and no undo reaches across it. */
function takeOver(state: BenchState, server: ServerRow): BenchState {
  const row = server.value === null ? null : { id: server.id, value: server.value }
  return {
    ...state,
    document: takeRow(state.document, server.kind, server.id, row),
    known: { ...state.known, [server.id]: knownOf(server) },
    waiting: withoutRow(state.waiting, server.id),
    history: forgetRow(state.history, server.id),
    conflicts: state.conflicts.filter((conflict) => conflict.id !== server.id),
  }
}

function knownOf(server: ServerRow): KnownRow {
  return { version: server.version, removed: server.value === null }
}

function waits(state: BenchState, rowId: string): boolean {
  return state.waiting.some((gesture) => gesture.edits.some((edit) => edit.id === rowId))
}

function withoutRow(waiting: readonly Gesture[], rowId: string): Gesture[] {
  return waiting
    .map((gesture) => ({ ...gesture, edits: gesture.edits.filter((edit) => edit.id !== rowId) }))
    .filter((gesture) => gesture.edits.length > 0)
}

function keepMine(state: BenchState, id: string): BenchState {
  const conflict = state.conflicts.find((one) => one.id === id)
  if (!conflict) return state
  return {
    ...state,
    known: { ...state.known, [id]: knownOf(conflict) },
    history: forgetRow(state.history, id),
    conflicts: state.conflicts.filter((one) => one !== conflict),
  }
}

function keepTheirs(state: BenchState, id: string): BenchState {
  const conflict = state.conflicts.find((one) => one.id === id)
  return conflict ? takeOver(state, conflict) : state
}
