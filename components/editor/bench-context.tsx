'use client'
/** The open bench of one shaft, shared by its pages: opened when first asked for, looked at again while a page shows it. */
import { createContext, type ReactNode, useContext, useEffect, useState, useSyncExternalStore } from 'react'
import { type Aligned, notAligned } from '@/components/photo/aligned-photos'
import { type AlignmentStore, alignmentStore } from '@/components/photo/alignment-store'
import type { ApiFailure } from '@/components/ui/api-client'
import { askAlignments, benchServer } from './bench-server'
import { type BenchState, openBench } from './bench-state'
import { type BenchStore, createBenchStore } from './bench-store'
import { keptEditsStore } from './kept-edits'
import { fromServer } from './server-document'

type Opening =
  | { kind: 'loading' }
  | { kind: 'failed'; failure: ApiFailure }
  | { kind: 'ready'; store: BenchStore; alignments: AlignmentStore }
type BenchHolder = { opening: () => Opening; subscribe: (listener: () => void) => () => void; open: () => void }

const BenchContext = createContext<BenchHolder | null>(null)

/** How often the page asks what others changed, while it is looked at. */
const lookAgainMs = 4000

export function BenchProvider({ shaftId, children }: { shaftId: string; children: ReactNode }) {
  const [holder] = useState(() => benchHolder(shaftId))
  return <BenchContext value={holder}>{children}</BenchContext>
}

export type OpenedBench =
  | { kind: 'loading' }
  | { kind: 'failed'; failure: ApiFailure; again: () => void }
  | { kind: 'ready'; store: BenchStore; state: BenchState; aligned: Aligned }

export function useBench(): OpenedBench {
  const holder = useContext(BenchContext)
  if (!holder) throw new Error('useBench outside BenchProvider')
  useEffect(() => holder.open(), [holder])
  const opening = useSyncExternalStore(holder.subscribe, holder.opening, () => loading)
  const store = opening.kind === 'ready' ? opening.store : null
  const state = useSyncExternalStore(store?.subscribe ?? nothing, store?.state ?? noState, noState)
  const aligned = useAligned()
  useLookAgain(store)
  if (opening.kind === 'failed') return { ...opening, again: holder.open }
  return store && state ? { kind: 'ready', store, state, aligned } : { kind: 'loading' }
}

/** The laying of photographs beside each other; null until the bench is open. */
export function useAlignments(): AlignmentStore | null {
  const holder = useContext(BenchContext)
  const opening = useSyncExternalStore(holder?.subscribe ?? nothing, holder?.opening ?? stillLoading, stillLoading)
  return opening.kind === 'ready' ? opening.alignments : null
}

/** The photographs as far as they are laid beside each other. */
export function useAligned(): Aligned {
  const alignments = useAlignments()
  return useSyncExternalStore(alignments?.subscribe ?? nothing, alignments?.state ?? noAlignment, noAlignment)
}

const loading: Opening = { kind: 'loading' }
const stillLoading = () => loading
const nothing = () => () => {}
const noState = () => null
const noAlignment = () => notAligned

function useLookAgain(store: BenchStore | null) {
  useEffect(() => {
    if (!store) return
    const look = () => {
      if (document.visibilityState === 'visible') void store.refresh()
    }
    const timer = setInterval(look, lookAgainMs)
    window.addEventListener('focus', look)
    window.addEventListener('online', look)
    return () => {
      clearInterval(timer)
      window.removeEventListener('focus', look)
      window.removeEventListener('online', look)
    }
  }, [store])
}

function benchHolder(shaftId: string): BenchHolder {
  let opening: Opening = loading
  let asked = false
  const listeners = new Set<() => void>()
  const become = (next: Opening) => {
    opening = next
    for (const listener of listeners) listener()
  }
  return {
    opening: () => opening,
    subscribe: (listener) => {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    open: () => {
      if (asked && opening.kind !== 'failed') {
        if (opening.kind === 'ready') void opening.store.refresh()
        return
      }
      asked = true
      if (opening.kind === 'failed') become(loading)
      void openStore(shaftId).then(become)
    },
  }
}

async function openStore(shaftId: string): Promise<Opening> {
  const server = benchServer(shaftId)
  const answer = await server.load()
  if (!answer.ok) return { kind: 'failed', failure: answer.reason }
  const keeping = keptEditsStore(window.localStorage, navigator.locks, shaftId, crypto.randomUUID())
  const left = await keeping.adopt()
  const { document, known } = fromServer(answer.value)
  const opened = openBench(document, known, left)
  keeping.keep(opened.waiting, opened.known)
  const others = new BroadcastChannel(`throwmark-bench:${shaftId}`)
  const store = createBenchStore(
    opened,
    server,
    () => crypto.randomUUID(),
    keeping.keep,
    () => others.postMessage('changed'),
  )
  others.onmessage = () => void store.refresh()
  void store.refresh()
  return { kind: 'ready', store, alignments: alignmentStore(store, (wish) => askAlignments(shaftId, wish)) }
}
