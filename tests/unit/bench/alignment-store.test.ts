/** The page's side of aligned photographs: they count while nothing that they were laid from has changed, and not a moment longer. */
import { createHash } from 'node:crypto'
import { setTimeout as rest } from 'node:timers/promises'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { BenchState } from '@/components/editor/bench-state'
import { openBench } from '@/components/editor/bench-state'
import { applyEdits, type BenchDocument, type Edit } from '@/components/editor/document'
import { journalFindings } from '@/components/finding/journal-findings'
import { alignedJournal } from '@/components/photo/aligned-photos'
import { alignmentStore } from '@/components/photo/alignment-store'
import { journalFits } from '@/components/photo/fit-cache'
import { done } from '@/lib/model/result'
import type { JournalAlignment } from '@/lib/photo/alignment-record'
import { fitPhoto } from '@/lib/photo/cylinder-fit'
import { recordOfFit } from '@/lib/photo/fit-record'
import { alignmentText } from '@/lib/rollout/alignment-source'
import { camera, journalAndPhoto, picksOf } from '../photo/exact-picks'

const picked = { sides: [5, 5] as [number, number], rings: ['front-fillet' as const, 'rear-fillet' as const] }
const { journal, photo } = journalAndPhoto(picksOf(camera(), picked), { file: 'ph1.jpg' })
const own = fitPhoto(journal, photo, null)
if (!own.ok) throw new Error('no fit')
const laid = recordOfFit({ ...own.value, rollKnown: true })

const opened: BenchDocument = {
  shaft: { id: 'shaft-row', name: 'S1', label: '' },
  journals: [{ id: 'journal-row', value: journal }],
  photos: [{ id: 'photo-row', value: photo }],
  marks: [],
  files: { 'photo-row': null },
}
const key = createHash('sha256')
  .update(alignmentText({ journal, photos: [{ photo, lens: null, sha256: null }] }))
  .digest('hex')
const ready: JournalAlignment = { journalId: journal.id, state: 'ready', done: 1, of: 1, key, photos: [{ photoId: photo.id, fit: laid }] }
const working: JournalAlignment = { journalId: journal.id, state: 'working', done: 3, of: 8, key }

/** A bench whose document is changed by hand, and a server that answers what it is told to. */
function desk(answer: JournalAlignment) {
  let state: BenchState = openBench(opened, {})
  const listeners = new Set<() => void>()
  const server = { answer, asked: 0 }
  const become = (next: BenchState) => {
    state = next
    for (const listener of listeners) listener()
  }
  const bench = {
    state: () => state,
    subscribe: (listener: () => void) => {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
  }
  const wishes: string[] = []
  const store = alignmentStore(bench, async (wish) => {
    server.asked += 1
    if (wish) wishes.push(`${wish.wish} ${wish.journalId}`)
    return done({ journals: [server.answer] })
  })
  const edit = (...edits: Edit[]) => become({ ...state, document: applyEdits(state.document, edits) })
  const rollKnown = () => {
    const fit = journalFits(state.document, journal, store.state()).get('photo-row')
    return fit?.ok && fit.value.rollKnown
  }
  return { bench, store, server, wishes, edit, become, rollKnown }
}
const moved: Edit = { kind: 'photo', id: 'photo-row', before: photo, after: { ...photo, k1: 0.01 } }
const back: Edit = { kind: 'photo', id: 'photo-row', before: moved.after, after: photo }

beforeEach(() => {
  vi.useFakeTimers()
})
afterEach(() => {
  vi.useRealTimers()
})
/** The digest of the page's key is real work outside the timers. */
const pass = async (ms: number) => {
  await vi.advanceTimersByTimeAsync(ms)
  await rest(20)
}

describe('aligned photographs on the bench', () => {
  it('are taken when their key is the key of what the page holds; findings and fits then go by them', async () => {
    const { store, bench, rollKnown, server } = desk(ready)
    expect(rollKnown()).toBe(false)
    await pass(10)
    expect(rollKnown()).toBe(true)
    expect(journalFindings(bench.state().document, journal, store.state()).photos[0]?.rollKnown).toBe(true)
    await pass(60_000)
    expect(server.asked).toBe(1)
  })

  it('are not taken with another key', async () => {
    const { rollKnown } = desk({ ...ready, key: key.replace(/^./, (first) => (first === 'a' ? 'b' : 'a')) })
    await pass(10)
    expect(rollKnown()).toBe(false)
  })

  it('no longer count from the moment a handle is changed, and do again when it is put back', async () => {
    const { store, bench, edit, rollKnown } = desk(ready)
    await pass(10)
    edit(moved)
    expect(alignedJournal(store.state(), bench.state().document, journal)).toBeNull()
    expect(rollKnown()).toBe(false)
    expect(journalFindings(bench.state().document, journal, store.state()).photos[0]?.rollKnown).toBe(false)
    edit({ ...back, after: { ...photo } })
    expect(rollKnown()).toBe(false)
    await pass(2000)
    expect(rollKnown()).toBe(true)
  })

  it('are asked for after changes are saved, not while they wait', async () => {
    const { server, edit, become, bench } = desk(ready)
    await pass(10)
    const saved = bench.state()
    become({ ...saved, waiting: [{ id: 'g1', words: 'Move a handle', edits: [moved] }] })
    edit(moved)
    await vi.advanceTimersByTimeAsync(10_000)
    expect(server.asked).toBe(1)
    become({ ...bench.state(), waiting: [] })
    await vi.advanceTimersByTimeAsync(3000)
    expect(server.asked).toBe(2)
  })

  it('tell how far the work is, and are asked for until it is done', async () => {
    const { store, server, rollKnown } = desk(working)
    await pass(10)
    expect(store.state().work.get(journal.id)).toEqual({ done: 3, of: 8 })
    await pass(1100)
    expect(server.asked).toBe(2)
    server.answer = ready
    await pass(1100)
    expect(store.state().work.size).toBe(0)
    expect(rollKnown()).toBe(true)
    await pass(60_000)
    expect(server.asked).toBe(3)
  })

  it('are stopped by a person, and let go on', async () => {
    const { store, server, wishes } = desk(working)
    await pass(10)
    server.answer = { ...working, state: 'stopped', done: 0, of: 0 }
    store.wish({ journalId: journal.id, wish: 'stop' })
    await pass(10)
    expect(wishes).toEqual([`stop ${journal.id}`])
    expect([store.state().work.size, store.state().stopped.has(journal.id)]).toEqual([0, true])
    await pass(60_000)
    expect(server.asked).toBe(2)
    server.answer = working
    store.wish({ journalId: journal.id, wish: 'go-on' })
    await pass(10)
    expect([store.state().work.size, store.state().stopped.size]).toEqual([1, 0])
  })
})
