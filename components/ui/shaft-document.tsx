'use client'
/** The shaft that a page is about, as the server last had it, with every row that was written since. */
import { createContext, type ReactNode, useCallback, useContext, useEffect, useMemo, useState } from 'react'
import { type ShaftDocument, shaftDocumentSchema } from '@/lib/model/rows'
import { type ApiFailure, apiRequest } from './api-client'
import type { RailShaft, Station } from './rail'

export type ShaftState =
  | { kind: 'loading' }
  | { kind: 'failed'; failure: ApiFailure }
  | { kind: 'ready'; document: ShaftDocument }

type ShaftContextValue = {
  shaftId: string
  state: ShaftState
  /** Asks the server again. */
  reload: () => void
  /** Changes the document on the screen; saving it is the caller's. */
  update: (change: (document: ShaftDocument) => ShaftDocument) => void
}

const ShaftContext = createContext<ShaftContextValue | null>(null)

export function ShaftProvider({ shaftId, children }: { shaftId: string; children: ReactNode }) {
  const [state, setState] = useState<ShaftState>({ kind: 'loading' })
  const [round, setRound] = useState(0)

  // biome-ignore lint/correctness/useExhaustiveDependencies: a new round asks again
  useEffect(() => {
    const stop = new AbortController()
    apiRequest(shaftDocumentSchema, { path: `/api/shafts/${shaftId}`, signal: stop.signal }).then(
      (answer) => setState(answer.ok ? { kind: 'ready', document: answer.value } : { kind: 'failed', failure: answer.reason }),
      () => {},
    )
    return () => stop.abort()
  }, [shaftId, round])

  const reload = useCallback(() => setRound((before) => before + 1), [])
  const update = useCallback(
    (change: (document: ShaftDocument) => ShaftDocument) =>
      setState((before) => (before.kind === 'ready' ? { kind: 'ready', document: change(before.document) } : before)),
    [],
  )
  const value = useMemo(() => ({ shaftId, state, reload, update }), [shaftId, state, reload, update])
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

/** What stands on the tag: "W.O. 2217 · Petrel, four-cylinder diesel". */
export function tagText(shaft: { id: string; label: string }): string {
  const name = shaftName(shaft)
  return name === '' ? `W.O. ${shaft.id}` : `W.O. ${shaft.id} · ${name}`
}

/** The label without the work order, where it repeats it. */
export function shaftName(shaft: { id: string; label: string }): string {
  const prefix = `W.O. ${shaft.id}`
  return shaft.label.startsWith(prefix) ? shaft.label.slice(prefix.length).replace(/^[\s·:,-]+/, '') : shaft.label
}

/** "Pin 3", "Main 1": the trade's word for a journal whose name is P3 or M1; any other name stands as it is. */
export function journalWord(journal: { id: string; kind: 'pin' | 'main' }): string {
  const short = /^([PM])\s*(\d+.*)$/i.exec(journal.id)
  const kind = journal.kind === 'pin' ? 'Pin' : 'Main'
  if (short && (short[1]?.toUpperCase() === 'P') === (journal.kind === 'pin')) return `${kind} ${short[2]}`
  return journal.id
}
