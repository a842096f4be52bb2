/**
 * Writes that wait until the server has them, sent one after another. A newer body for a row takes the place of the waiting one, and each
 * write goes out from the version the last one came back with. What waits is kept in the browser's storage (`unsaved-store.ts`), so that
 * neither a stopped server nor a closed window loses an edit.
 */
import { z } from 'zod'
import { apiRequest, type ApiFailure } from './api-client'

export const pendingWriteSchema = z.object({
  /** One row of the server, such as `journal:<uuid>`. */
  key: z.string(),
  /** What a person calls it: "pin 2", "readings of main 1". */
  label: z.string(),
  method: z.enum(['POST', 'PUT', 'PATCH', 'DELETE']),
  path: z.string(),
  body: z.unknown(),
  /** The version the change was made from; null where none is needed. */
  version: z.number().nullable(),
})
export type PendingWrite = z.infer<typeof pendingWriteSchema>

const writtenSchema = z.looseObject({ version: z.number().optional() }).nullable()
export type Written = z.infer<typeof writtenSchema>

/** A write that came back refused: both versions are here, and none is lost until a person has chosen. */
export type Stuck = { write: PendingWrite; failure: Exclude<ApiFailure, { kind: 'unreachable' }> }
export type SaveStatus = { waiting: readonly PendingWrite[]; unreachable: boolean; stuck: readonly Stuck[] }

export type SaveQueue = {
  /** Adds a write, or replaces the waiting one of the same row, method and path. */
  put: (write: PendingWrite) => void
  status: () => SaveStatus
  subscribe: (listener: () => void) => () => void
  /** Called with the server's answer after each write has arrived. */
  onWritten: (listener: (key: string, row: Written) => void) => () => void
  /** Called when a person has given a write up: what the page shows of that row is no longer so. */
  onGivenUp: (listener: () => void) => () => void
  /** Tries at once instead of at the next turn. */
  retry: () => void
  /** Sends a stuck write again, over the version the server has now. */
  keepMine: (key: string) => void
  /** Gives a stuck write up, and what waits behind it. */
  keepTheirs: (key: string) => void
}

const firstPauseMs = 1000
const longestPauseMs = 15000

/** @param keep called with everything unsaved after each change. */
export function createSaveQueue(keep: (writes: readonly PendingWrite[]) => void): SaveQueue {
  let waiting: PendingWrite[] = []
  let stuck: Stuck[] = []
  let inFlight: PendingWrite | null = null
  let unreachable = false
  let pauseMs = firstPauseMs
  let timer: ReturnType<typeof setTimeout> | null = null
  const versions = new Map<string, number>()
  const listeners = new Set<() => void>()
  const writtenListeners = new Set<(key: string, row: Written) => void>()
  const givenUpListeners = new Set<() => void>()
  let snapshot: SaveStatus = { waiting, unreachable, stuck }

  function changed() {
    snapshot = { waiting: [...waiting], unreachable, stuck: [...stuck] }
    keep([...stuck.map((entry) => entry.write), ...waiting])
    for (const listener of listeners) listener()
  }

  function put(write: PendingWrite) {
    const known = versions.get(write.key)
    const fresh = write.version === null || known === undefined ? write : { ...write, version: Math.max(write.version, known) }
    const place = waiting.findIndex(
      (entry) => entry !== inFlight && entry.key === write.key && entry.method === write.method && entry.path === write.path,
    )
    if (place < 0) waiting.push(fresh)
    else waiting[place] = fresh
    changed()
    if (timer === null && inFlight === null) timer = setTimeout(send, 0)
  }

  async function send() {
    if (timer !== null) clearTimeout(timer)
    timer = null
    if (inFlight !== null) return
    for (;;) {
      const next = waiting.find((write) => !stuck.some((entry) => entry.write.key === write.key))
      if (!next) return
      inFlight = next
      const { method, path, body, version } = next
      const answer = await apiRequest(writtenSchema, { method, path, body, version: version ?? undefined })
      inFlight = null
      unreachable = !answer.ok && answer.reason.kind === 'unreachable'
      if (unreachable) {
        timer = setTimeout(send, pauseMs)
        pauseMs = Math.min(longestPauseMs, pauseMs * 2)
        changed()
        return
      }
      pauseMs = firstPauseMs
      waiting = waiting.filter((write) => write !== next)
      if (answer.ok) arrived(next.key, answer.value)
      else if (answer.reason.kind === 'stale' && holdsAlready(currentRow(answer.reason.current), body))
        arrived(next.key, currentRow(answer.reason.current))
      else stuck = [...stuck, { write: next, failure: answer.reason as Stuck['failure'] }]
      changed()
    }
  }

  function arrived(key: string, row: Written) {
    const version = row?.version
    if (version !== undefined) {
      versions.set(key, version)
      waiting = waiting.map((write) => (write.key === key && write.version !== null ? { ...write, version } : write))
    }
    for (const listener of writtenListeners) listener(key, row)
  }

  function keepMine(key: string) {
    const entry = stuck.find((candidate) => candidate.write.key === key)
    if (!entry) return
    const version = entry.failure.kind === 'stale' ? currentRow(entry.failure.current)?.version : undefined
    if (version !== undefined) versions.set(key, version)
    const over = (write: PendingWrite) => (version === undefined || write.key !== key ? write : { ...write, version })
    const newerIsWaiting = waiting.some(
      (write) => write.key === key && write.path === entry.write.path && write.method === entry.write.method,
    )
    waiting = [...(newerIsWaiting ? [] : [over(entry.write)]), ...waiting.map(over)]
    stuck = stuck.filter((candidate) => candidate !== entry)
    changed()
    void send()
  }

  return {
    put,
    status: () => snapshot,
    subscribe: (listener) => listened(listeners, listener),
    onWritten: (listener) => listened(writtenListeners, listener),
    onGivenUp: (listener) => listened(givenUpListeners, listener),
    retry: () => void send(),
    keepMine,
    keepTheirs: (key) => {
      stuck = stuck.filter((entry) => entry.write.key !== key)
      waiting = waiting.filter((write) => write.key !== key)
      changed()
      for (const listener of givenUpListeners) listener()
    },
  }
}

function listened<Listener>(listeners: Set<Listener>, listener: Listener): () => void {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

/** The row as it stands now, out of a stale answer; null where the answer holds none. */
export function currentRow(current: unknown): Written {
  const parsed = writtenSchema.safeParse(current)
  return parsed.success ? parsed.data : null
}

/** True where the row already says all that the write says: the answer to an earlier try was lost on the way. */
function holdsAlready(row: Written, body: unknown): boolean {
  if (row === null || typeof body !== 'object' || body === null) return false
  return Object.entries(body).every(([name, value]) => sameJson(row[name], value))
}

function sameJson(a: unknown, b: unknown): boolean {
  if (a === b) return true
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return false
  if (Array.isArray(a) !== Array.isArray(b)) return false
  const names = Object.keys(a)
  return (
    names.length === Object.keys(b).length &&
    names.every((name) => sameJson((a as Record<string, unknown>)[name], (b as Record<string, unknown>)[name]))
  )
}
