import { describe, expect, it, vi } from 'vitest'
import type { BenchServer } from '@/components/editor/bench-server'
import { createBenchStore } from '@/components/editor/bench-store'
import { serverEdits } from '@/components/editor/server-edits'
import { failed } from '@/lib/model/result'
import { bench, gesture, mark, markEdit } from './bench-fixture'

const a = mark('P1-a')
const time = '2026-01-01T00:00:00.000Z'
const rowOf = (id: string, version: number, value = a) => ({
  kind: 'mark' as const,
  row: { id, shaftId: 's', version, position: 0, updatedAt: time, removedAt: null, mark: value },
})

function storeWith(send: BenchServer['send']) {
  let id = 0
  const kept: number[] = []
  const server: BenchServer = { send, load: async () => failed({ kind: 'unreachable' }) }
  const store = createBenchStore(
    bench([a]),
    server,
    () => `g${++id}`,
    (waiting) => kept.push(waiting.length),
    () => {},
  )
  return { store, kept }
}

describe('what goes to the server', () => {
  it('a row it never had is created, one it has is updated, one it keeps as removed is put back first', () => {
    const known = { r2: { version: 3, removed: false }, r3: { version: 4, removed: true } }
    const edits = serverEdits(gesture(markEdit('r1', null, a), markEdit('r2', a, a), markEdit('r3', null, a)), known)
    expect(edits.map((edit) => [edit.op, 'version' in edit ? edit.version : null])).toEqual([
      ['create', null],
      ['update', 3],
      ['restore', 4],
      ['update', 5],
    ])
  })

  it('two changes to a row in one gesture follow each other', () => {
    const edits = serverEdits(gesture(markEdit('r2', a, a), markEdit('r2', a, null)), { r2: { version: 3, removed: false } })
    expect(edits.map((edit) => [edit.op, 'version' in edit ? edit.version : null])).toEqual([
      ['update', 3],
      ['remove', 4],
    ])
  })

  it('a mark made and taken away before it was ever saved asks nothing', () => {
    expect(serverEdits(gesture(markEdit('r9', a, null)), {})).toEqual([])
  })
})

describe('the bench while the server is away', () => {
  it('keeps the edit, says so, and saves when it is back', async () => {
    vi.useFakeTimers()
    let up = false
    const { store, kept } = storeWith(async () =>
      up ? { ok: true, value: { rows: [rowOf('row-P1-a', 2)] } } : failed({ kind: 'unreachable' }),
    )
    store.perform('Move mark a', [markEdit('row-P1-a', a, mark('P1-a', 120))])
    await vi.advanceTimersByTimeAsync(5000)
    expect(store.state().link).toBe('away')
    expect(kept.at(-1)).toBe(1)
    up = true
    await vi.advanceTimersByTimeAsync(10000)
    expect(store.state().link).toBe('fine')
    expect(store.state().waiting).toEqual([])
    expect(kept.at(-1)).toBe(0)
    expect(store.state().known['row-P1-a']).toEqual({ version: 2, removed: false })
    vi.useRealTimers()
  })

  it('sends gestures one after another, each from the version the last one came back with', async () => {
    const versions: unknown[] = []
    const { store } = storeWith(async (edits) => {
      const version = 'version' in edits[0] ? edits[0].version : 0
      versions.push(version)
      return { ok: true, value: { rows: [rowOf('row-P1-a', version + 1)] } }
    })
    store.perform('Move mark a', [markEdit('row-P1-a', a, mark('P1-a', 120))])
    store.perform('Move mark a', [markEdit('row-P1-a', mark('P1-a', 120), mark('P1-a', 130))])
    await vi.waitFor(() => expect(store.state().waiting).toEqual([]))
    expect(versions).toEqual([1, 2])
  })
})
