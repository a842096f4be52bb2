/** Where unsaved writes outlive a window: one entry of the browser's storage for each window, taken over by the next one once it has closed. */
import { z } from 'zod'
import { type PendingWrite, pendingWriteSchema } from './save-queue'

const prefix = 'throwmark:unsaved:'

export type UnsavedStore = {
  /** What closed windows left behind, oldest first; it is this window's from now on. */
  adopt: () => Promise<PendingWrite[]>
  keep: (writes: readonly PendingWrite[]) => void
}

export function createUnsavedStore(storage: Storage, locks: LockManager | undefined, windowId: string): UnsavedStore {
  const own = prefix + windowId
  return {
    adopt: async () => {
      // Held as long as the window lives, so that no other window takes its unsaved writes for abandoned.
      void locks?.request(own, () => new Promise(() => {}))
      const open = new Set((await locks?.query())?.held?.map((lock) => lock.name) ?? [])
      const left = Object.keys(storage).filter((name) => name.startsWith(prefix) && name !== own && !open.has(name))
      const writes = left.flatMap((name) => readWrites(storage.getItem(name)))
      for (const name of left) storage.removeItem(name)
      return writes
    },
    keep: (writes) => {
      try {
        if (writes.length === 0) storage.removeItem(own)
        else storage.setItem(own, JSON.stringify(writes))
      } catch {
        // Storage is full: the edit lives on in the page, and the line "not saved yet" stays.
      }
    },
  }
}

function readWrites(text: string | null): PendingWrite[] {
  try {
    const parsed = z.array(pendingWriteSchema).safeParse(JSON.parse(text ?? '[]'))
    return parsed.success ? parsed.data : []
  } catch {
    return []
  }
}
