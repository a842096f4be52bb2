'use client'
/** One queue of unsaved writes for the whole page, and the line that tells what waits. */
import { createContext, type ReactNode, useContext, useEffect, useState, useSyncExternalStore } from 'react'
import { createSaveQueue, type PendingWrite, type SaveQueue, type SaveStatus } from './save-queue'
import { createUnsavedStore } from './unsaved-store'

const nothing: SaveStatus = { waiting: [], unreachable: false, stuck: [] }
const SaveContext = createContext<SaveQueue | null>(null)

export function SaveProvider({ children }: { children: ReactNode }) {
  const [queue] = useState(() => createPageQueue())
  useEffect(() => {
    const retry = () => queue.retry()
    window.addEventListener('online', retry)
    window.addEventListener('focus', retry)
    return () => {
      window.removeEventListener('online', retry)
      window.removeEventListener('focus', retry)
    }
  }, [queue])
  return <SaveContext value={queue}>{children}</SaveContext>
}

export function useSaveQueue(): SaveQueue {
  const queue = useContext(SaveContext)
  if (!queue) throw new Error('useSaveQueue outside SaveProvider')
  return queue
}

export function useSaveStatus(): SaveStatus {
  const queue = useSaveQueue()
  return useSyncExternalStore(queue.subscribe, queue.status, () => nothing)
}

function createPageQueue(): SaveQueue {
  if (typeof window === 'undefined') return createSaveQueue(() => {})
  const store = createUnsavedStore(window.localStorage, navigator.locks, crypto.randomUUID())
  const queue = createSaveQueue((writes) => store.keep(writes))
  void store.adopt().then((writes: PendingWrite[]) => {
    for (const write of writes) queue.put(write)
  })
  return queue
}
