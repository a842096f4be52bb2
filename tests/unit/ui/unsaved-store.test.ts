/** Unsaved writes across windows: a closed window's are taken over, an open one's are left alone. */
import { describe, expect, it } from 'vitest'
import type { PendingWrite } from '../../../components/ui/save-queue'
import { createUnsavedStore } from '../../../components/ui/unsaved-store'

function fakeStorage(): Storage {
  const entries: Record<string, unknown> = {}
  const define = (name: string, value: unknown) => Object.defineProperty(entries, name, { value, enumerable: false })
  define('getItem', (key: string) => entries[key] ?? null)
  define('setItem', (key: string, value: string) => {
    entries[key] = value
  })
  define('removeItem', (key: string) => {
    delete entries[key]
  })
  return entries as unknown as Storage
}

function fakeLocks(held: string[]): LockManager {
  return {
    request: () => new Promise(() => {}),
    query: async () => ({ held: held.map((name) => ({ name })), pending: [] }),
  } as unknown as LockManager
}

const write: PendingWrite = { key: 'a:1', label: 'a', method: 'PUT', path: '/a/1', body: { n: 1 }, version: 1 }

describe('what windows leave unsaved', () => {
  it('of a closed window is taken over once', async () => {
    const storage = fakeStorage()
    createUnsavedStore(storage, fakeLocks([]), 'old').keep([write])
    expect(await createUnsavedStore(storage, fakeLocks([]), 'new').adopt()).toEqual([write])
    expect(await createUnsavedStore(storage, fakeLocks([]), 'third').adopt()).toEqual([])
  })

  it('of an open window is left to it', async () => {
    const storage = fakeStorage()
    createUnsavedStore(storage, fakeLocks([]), 'open').keep([write])
    expect(await createUnsavedStore(storage, fakeLocks(['throwmark:unsaved:open']), 'new').adopt()).toEqual([])
    expect(storage.getItem('throwmark:unsaved:open')).not.toBeNull()
  })

  it('that cannot be read is dropped without harm', async () => {
    const storage = fakeStorage()
    storage.setItem('throwmark:unsaved:old', '{"not": "a list"')
    expect(await createUnsavedStore(storage, fakeLocks([]), 'new').adopt()).toEqual([])
  })

  it('that is saved leaves nothing behind', () => {
    const storage = fakeStorage()
    const store = createUnsavedStore(storage, undefined, 'one')
    store.keep([write])
    store.keep([])
    expect(Object.keys(storage)).toEqual([])
  })
})
