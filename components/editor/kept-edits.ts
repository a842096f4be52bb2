/**
 * What is not saved yet, kept in the browser's storage so that a reload or a closed window loses nothing. Each window keeps its own entry
 * under a lock that it holds while it is open; an entry whose lock nobody holds was left behind and is taken over by the next window.
 */
import { z } from 'zod'
import { journalSchema } from '@/lib/model/journal'
import { markSchema } from '@/lib/model/mark'
import { photoSchema } from '@/lib/model/photo'
import { type KnownRows, touchedRows } from './bench-state'
import type { Gesture } from './document'

const editOf = <Kind extends string, Value extends z.ZodType>(kind: Kind, value: Value) =>
  z.object({ kind: z.literal(kind), id: z.string(), before: value.nullable(), after: value.nullable() })
const keptSchema = z.object({
  waiting: z.array(
    z.object({
      id: z.string(),
      words: z.string(),
      edits: z.array(
        z.discriminatedUnion('kind', [editOf('journal', journalSchema), editOf('photo', photoSchema), editOf('mark', markSchema)]),
      ),
    }),
  ),
  known: z.record(z.string(), z.object({ version: z.number(), removed: z.boolean() })),
})
export type KeptEdits = { waiting: Gesture[]; known: KnownRows }

export type KeptEditsStore = {
  /** What closed windows left behind, oldest first; taken out of the storage. */
  adopt: () => Promise<KeptEdits>
  keep: (waiting: readonly Gesture[], known: KnownRows) => void
}

export function keptEditsStore(storage: Storage, locks: LockManager, shaftId: string, windowId: string): KeptEditsStore {
  const prefix = `throwmark-bench:${shaftId}:`
  const own = `${prefix}${windowId}`
  // held until the window is gone
  void locks.request(own, () => new Promise<void>(() => {}))
  return {
    adopt: async () => {
      const open = new Set((await locks.query()).held?.map((lock) => lock.name))
      const left = keysOf(storage).filter((key) => key.startsWith(prefix) && !open.has(key))
      const entries = left.map((key) => readEntry(storage.getItem(key)))
      for (const key of left) storage.removeItem(key)
      return {
        waiting: entries.flatMap((entry) => entry.waiting),
        known: Object.assign({}, ...entries.map((entry) => entry.known)),
      }
    },
    keep: (waiting, known) => {
      try {
        if (waiting.length === 0) storage.removeItem(own)
        else storage.setItem(own, JSON.stringify({ waiting, known: touchedRows(waiting, known) }))
      } catch {
        // The storage is full. The edit lives on in the page, and the line "not saved yet" stays.
      }
    },
  }
}

function keysOf(storage: Storage): string[] {
  return Array.from({ length: storage.length }, (_, index) => storage.key(index)).filter((key) => key !== null)
}

function readEntry(text: string | null): KeptEdits {
  try {
    const parsed = keptSchema.safeParse(JSON.parse(text ?? ''))
    return parsed.success ? parsed.data : { waiting: [], known: {} }
  } catch {
    return { waiting: [], known: {} }
  }
}
