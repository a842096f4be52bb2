'use client'
/** The flat lifts of a shaft in the page: read once, changed on the screen at once and saved through the queue, brought in with a counted upload. */
import { useCallback, useEffect, useState } from 'react'
import { z } from 'zod'
import { type ApiFailure, apiRequest, apiUpload, failureSentence } from '@/components/ui/api-client'
import { useSaveQueue } from '@/components/ui/save-context'
import { editedRowsSchema } from '@/lib/model/edit'
import { type Lift, liftSchema } from '@/lib/model/lift'
import { type LiftRow, liftRowSchema } from '@/lib/model/rows'

export type LiftsState = { kind: 'loading' } | { kind: 'failed'; failure: ApiFailure } | { kind: 'ready'; rows: readonly LiftRow[] }

export type Lifts = {
  state: LiftsState
  reload: () => void
  change: (row: LiftRow, lift: Lift) => void
  /** @returns why it was not taken in, null when it was */
  add: (journalId: string, file: File) => Promise<void>
  /** The picture on its way, 0..1. */
  sending: { name: string; share: number } | null
  /** Why the last picture was refused, or a lift could not be removed. */
  refused: string | null
  remove: (row: LiftRow) => Promise<void>
  /** The lift removed last: it can be put back until one leaves. */
  removed: LiftRow | null
  putBack: () => Promise<void>
}

const rowsSchema = z.object({ rows: z.array(liftRowSchema) })
const keyOf = (row: { id: string }) => `lift:${row.id}`

export function useLifts(shaftId: string): Lifts {
  const queue = useSaveQueue()
  const [state, setState] = useState<LiftsState>({ kind: 'loading' })
  const [asked, setAsked] = useState(0)
  const [sending, setSending] = useState<Lifts['sending']>(null)
  const [refused, setRefused] = useState<string | null>(null)
  const [removed, setRemoved] = useState<LiftRow | null>(null)
  const reload = useCallback(() => setAsked((before) => before + 1), [])
  const update = useCallback(
    (change: (rows: readonly LiftRow[]) => readonly LiftRow[]) =>
      setState((before) => (before.kind === 'ready' ? { kind: 'ready', rows: change(before.rows) } : before)),
    [],
  )

  // biome-ignore lint/correctness/useExhaustiveDependencies: asking again is a change of `asked`
  useEffect(() => {
    const stop = new AbortController()
    apiRequest(rowsSchema, { path: `/api/shafts/${shaftId}/lifts`, signal: stop.signal }).then(
      (answer) => {
        if (!answer.ok) return setState({ kind: 'failed', failure: answer.reason })
        const waiting = new Map(queue.status().waiting.map((write) => [write.key, write.body]))
        setState({ kind: 'ready', rows: answer.value.rows.map((row) => withWaiting(row, waiting.get(keyOf(row)))) })
      },
      () => {},
    )
    return () => stop.abort()
  }, [shaftId, asked, queue])
  useEffect(() => queue.onGivenUp(reload), [queue, reload])
  useEffect(
    () =>
      queue.onWritten((key, answer) => {
        const written = liftRowSchema.safeParse(answer)
        if (!written.success) return
        const newer = queue.status().waiting.some((write) => write.key === key)
        update((rows) =>
          rows.map((row) => (row.id !== written.data.id ? row : newer ? { ...row, version: written.data.version } : written.data)),
        )
      }),
    [queue, update],
  )

  return {
    state,
    reload,
    change(row, lift) {
      update((rows) => rows.map((one) => (one.id === row.id ? { ...one, lift } : one)))
      queue.put({
        key: keyOf(row),
        label: `lift ${lift.id}`,
        method: 'PUT',
        path: `/api/lifts/${row.id}`,
        body: { lift },
        version: row.version,
      })
    },
    async add(journalId, file) {
      setRefused(null)
      setSending({ name: file.name, share: 0 })
      const query = new URLSearchParams({ journalId, file: file.name, id: crypto.randomUUID() })
      const answer = await apiUpload(liftRowSchema, {
        path: `/api/shafts/${shaftId}/lifts?${query}`,
        raw: file,
        onProgress: (share) => setSending({ name: file.name, share }),
      })
      setSending(null)
      if (answer.ok) update((rows) => [...rows, answer.value])
      else setRefused(failureSentence(answer.reason))
    },
    sending,
    refused,
    async remove(row) {
      const answer = await apiRequest(editedRowsSchema, { method: 'DELETE', path: `/api/lifts/${row.id}`, version: row.version })
      if (!answer.ok) return setRefused(failureSentence(answer.reason))
      setRemoved({ ...row, version: row.version + 1 })
      update((rows) => rows.filter((one) => one.id !== row.id))
    },
    removed,
    async putBack() {
      if (!removed) return
      const edit = { op: 'restore', kind: 'lift', id: removed.id, version: removed.version }
      const answer = await apiRequest(editedRowsSchema, { method: 'POST', path: `/api/shafts/${shaftId}/edits`, body: { edits: [edit] } })
      if (!answer.ok) return setRefused(failureSentence(answer.reason))
      setRemoved(null)
      reload()
    },
  }
}

/** What was typed last and is not saved yet, laid over the row. */
function withWaiting(row: LiftRow, body: unknown): LiftRow {
  const waiting = z.object({ lift: liftSchema }).safeParse(body)
  return waiting.success ? { ...row, lift: waiting.data.lift } : row
}
