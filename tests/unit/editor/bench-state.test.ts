import { describe, expect, it } from 'vitest'
import { type BenchState, benchReducer, nextToSend, openBench } from '@/components/editor/bench-state'
import { bench, benchDocument, gesture, knownOf, mark, markEdit } from './bench-fixture'

const a = mark('P1-a')
const moved = mark('P1-a', 140)
const movedByOther = mark('P1-a', 200)
const names = (state: BenchState) => state.document.marks.map((row) => row.value.id)

describe('undo and redo', () => {
  it('one gesture of several edits is one entry', () => {
    const b = mark('P1-b')
    let state = benchReducer(bench(), { type: 'do', gesture: gesture(markEdit('r1', null, a), markEdit('r2', null, b)) })
    expect(names(state)).toEqual(['P1-a', 'P1-b'])
    state = benchReducer(state, { type: 'undo', gestureId: 'u1' })
    expect(names(state)).toEqual([])
    state = benchReducer(state, { type: 'redo', gestureId: 'u2' })
    expect(names(state)).toEqual(['P1-a', 'P1-b'])
  })

  it('undo is itself sent to the server, after what it takes back', () => {
    let state = benchReducer(bench(), { type: 'do', gesture: gesture(markEdit('r1', null, a)) })
    state = benchReducer(state, { type: 'undo', gestureId: 'u1' })
    expect(state.waiting.map((waiting) => waiting.edits[0]?.after)).toEqual([a, null])
  })

  it('a new gesture ends what could be done once more', () => {
    let state = benchReducer(bench(), { type: 'do', gesture: gesture(markEdit('r1', null, a)) })
    state = benchReducer(state, { type: 'undo', gestureId: 'u1' })
    state = benchReducer(state, { type: 'do', gesture: gesture(markEdit('r2', null, mark('P1-b'))) })
    expect(benchReducer(state, { type: 'redo', gestureId: 'u2' })).toBe(state)
  })

  it('does not reach across a change that somebody else made to the row', () => {
    let state = benchReducer(bench([a]), { type: 'do', gesture: gesture(markEdit('row-P1-a', a, moved)) })
    state = benchReducer(state, { type: 'sending', gestureId: state.waiting[0]?.id ?? '' })
    state = benchReducer(state, {
      type: 'taken',
      gestureId: state.waiting[0]?.id ?? '',
      known: { 'row-P1-a': { version: 2, removed: false } },
    })
    const theirs = benchDocument([movedByOther])
    state = benchReducer(state, { type: 'arrived', document: theirs, known: knownOf(theirs, 3), taken: 1 })
    expect(state.document.marks[0]?.value).toEqual(movedByOther)
    expect(state.history.done).toEqual([])
  })
})

describe('two people', () => {
  const theirs = benchDocument([movedByOther])

  it('takes over what others changed where nothing of ours waits', () => {
    const state = benchReducer(bench([a]), { type: 'arrived', document: theirs, known: knownOf(theirs, 2), taken: 0 })
    expect(state.document.marks[0]?.value).toEqual(movedByOther)
    expect(state.known['row-P1-a']).toEqual({ version: 2, removed: false })
  })

  it('takes over marks that others added and removed', () => {
    const other = benchDocument([mark('P1-b')])
    const state = benchReducer(bench([a]), { type: 'arrived', document: other, known: knownOf(other), taken: 0 })
    expect(names(state)).toEqual(['P1-b'])
  })

  const conflicting = () => {
    const state = benchReducer(bench([a]), { type: 'do', gesture: gesture(markEdit('row-P1-a', a, moved)) })
    return benchReducer(state, { type: 'stale', rows: [{ kind: 'mark', id: 'row-P1-a', version: 5, value: movedByOther }] })
  }

  it('a stale save keeps both versions: ours on the bench, theirs beside it', () => {
    const state = conflicting()
    expect(state.document.marks[0]?.value).toEqual(moved)
    expect(state.conflicts).toEqual([{ kind: 'mark', id: 'row-P1-a', version: 5, value: movedByOther }])
    expect(nextToSend(state)).toBeNull()
  })

  it('other gestures go out meanwhile', () => {
    const state = benchReducer(conflicting(), { type: 'do', gesture: gesture(markEdit('r2', null, mark('P1-b'))) })
    expect(nextToSend(state)?.edits[0]?.id).toBe('r2')
  })

  it('keep mine: it goes out from their version', () => {
    const state = benchReducer(conflicting(), { type: 'keep-mine', id: 'row-P1-a' })
    expect(state.known['row-P1-a']?.version).toBe(5)
    expect(nextToSend(state)?.edits[0]?.after).toEqual(moved)
  })

  it('keep theirs: ours waits no longer', () => {
    const state = benchReducer(conflicting(), { type: 'keep-theirs', id: 'row-P1-a' })
    expect(state.document.marks[0]?.value).toEqual(movedByOther)
    expect(state.waiting).toEqual([])
  })

  it('keep both: theirs in its row, ours as a mark of its own', () => {
    const mine = { ...moved, id: 'P1-b' }
    const state = benchReducer(conflicting(), { type: 'keep-both', id: 'row-P1-a', gesture: gesture(markEdit('r2', null, mine)) })
    expect(state.document.marks.map((row) => row.value)).toEqual([movedByOther, mine])
  })

  it('a save whose answer was lost is no conflict', () => {
    let state = benchReducer(bench([a]), { type: 'do', gesture: gesture(markEdit('row-P1-a', a, moved)) })
    state = benchReducer(state, { type: 'stale', rows: [{ kind: 'mark', id: 'row-P1-a', version: 2, value: structuredClone(moved) }] })
    expect(state.conflicts).toEqual([])
    expect(state.waiting).toEqual([])
  })

  it('an answer asked for before our last save went through changes nothing', () => {
    let state = benchReducer(bench(), { type: 'do', gesture: gesture(markEdit('r1', null, a)) })
    state = benchReducer(state, { type: 'taken', gestureId: state.waiting[0]?.id ?? '', known: { r1: { version: 1, removed: false } } })
    const old = benchDocument()
    state = benchReducer(state, { type: 'arrived', document: old, known: knownOf(old), taken: 0 })
    expect(names(state)).toEqual(['P1-a'])
  })
})

describe('what an earlier visit left unsaved', () => {
  it('is on the bench again and goes out', () => {
    const document = benchDocument([a])
    const state = openBench(document, knownOf(document), {
      waiting: [gesture(markEdit('row-P1-a', a, moved))],
      known: { 'row-P1-a': { version: 1, removed: false } },
    })
    expect(state.document.marks[0]?.value).toEqual(moved)
    expect(nextToSend(state)).not.toBeNull()
  })

  it('becomes a conflict where the row has moved on', () => {
    const document = benchDocument([movedByOther])
    const state = openBench(document, knownOf(document, 4), {
      waiting: [gesture(markEdit('row-P1-a', a, moved))],
      known: { 'row-P1-a': { version: 1, removed: false } },
    })
    expect(state.document.marks[0]?.value).toEqual(moved)
    expect(state.conflicts[0]?.value).toEqual(movedByOther)
  })
})

describe('a gesture the server refuses', () => {
  it('stands until it is taken back, and others pass it', () => {
    let state = benchReducer(bench([a]), { type: 'do', gesture: gesture(markEdit('row-P1-a', a, moved)) })
    const refusedId = state.waiting[0]?.id ?? ''
    state = benchReducer(state, { type: 'refused', gestureId: refusedId, words: 'The mark leaves the journal.' })
    state = benchReducer(state, { type: 'do', gesture: gesture(markEdit('r2', null, mark('P1-b'))) })
    expect(nextToSend(state)?.edits[0]?.id).toBe('r2')
    state = benchReducer(state, { type: 'take-back-refused' })
    expect(state.document.marks[0]?.value).toEqual(a)
    expect(state.refused).toBeNull()
  })
})
