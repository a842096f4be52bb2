'use client'
/** The shaft that a page is about, as the server last had it, with every row that was written since. */
import { createContext, type ReactNode, useCallback, useContext, useEffect, useMemo, useState } from 'react'
import { type ShaftDocument, shaftDocumentSchema } from '@/lib/model/rows'
import { type ApiFailure, apiRequest } from './api-client'
import type { RailShaft, Station } from './rail'
import { useSaveQueue } from './save-context'
import { withWaiting, withWritten } from './shaft-rows'
import { tagText } from './shaft-words'

export type ShaftState = { kind: 'loading' } | { kind: 'failed'; failure: ApiFailure } | { kind: 'ready'; document: ShaftDocument }

type ShaftContextValue = {
  shaftId: string
  state: ShaftState
  /** Grows each time the document came anew from the server: drafts made from the old one are void. */
  round: number
  /** Asks the server again. */
  reload: () => void
  /** Changes the document on the screen; saving it is the caller's. */
  update: (change: (document: ShaftDocument) => ShaftDocument) => void
}

const ShaftContext = createContext<ShaftContextValue | null>(null)

export function ShaftProvider({ shaftId, children }: { shaftId: string; children: ReactNode }) {
  const queue = useSaveQueue()
  const [state, setState] = useState<ShaftState>({ kind: 'loading' })
  const [asked, setAsked] = useState(0)
  const [round, setRound] = useState(0)

  // biome-ignore lint/correctness/useExhaustiveDependencies: asking again is a change of `asked`
  useEffect(() => {
    const stop = new AbortController()
    apiRequest(shaftDocumentSchema, { path: `/api/shafts/${shaftId}`, signal: stop.signal }).then(
      (answer) => {
        setState(
          answer.ok
            ? { kind: 'ready', document: withWaiting(answer.value, queue.status().waiting) }
            : { kind: 'failed', failure: answer.reason },
        )
        setRound((before) => before + 1)
      },
      () => {},
    )
    return () => stop.abort()
  }, [shaftId, asked, queue])

  const reload = useCallback(() => setAsked((before) => before + 1), [])
  const update = useCallback(
    (change: (document: ShaftDocument) => ShaftDocument) =>
      setState((before) => (before.kind === 'ready' ? { kind: 'ready', document: change(before.document) } : before)),
    [],
  )
  useEffect(() => queue.onGivenUp(reload), [queue, reload])
  useEffect(
    () =>
      queue.onWritten((key, row) => {
        const newerWaits = queue.status().waiting.some((write) => write.key === key)
        if (!newerWaits) update((document) => withWritten(document, row))
      }),
    [queue, update],
  )
  const value = useMemo(() => ({ shaftId, state, round, reload, update }), [shaftId, state, round, reload, update])
  return <ShaftContext value={value}>{children}</ShaftContext>
}

export function useShaft(): ShaftContextValue {
  const value = useContext(ShaftContext)
  if (!value) throw new Error('useShaft outside ShaftProvider')
  return value
}

/** What the head shows of a shaft. */
export function railShaft(document: ShaftDocument): RailShaft {
  const { shaft, journals, photos, sizes } = document
  const punched = new Set<Station>()
  if (journals.length > 0) {
    punched.add('setup')
    const measured = new Set(sizes.filter((row) => row.sizes.readings.length > 0).map((row) => row.sizes.journalId))
    const photographed = new Set(photos.map((row) => row.photo.journalId))
    if (journals.every((row) => measured.has(row.journal.id))) punched.add('sizes')
    if (journals.every((row) => photographed.has(row.journal.id))) punched.add('bench')
  }
  return { id: shaft.id, tag: tagText(shaft.shaft), punched }
}
