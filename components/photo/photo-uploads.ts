'use client'
/** Photographs on their way to the server: one after another, each with its share sent; one that is refused says why, and the rest goes on. */
import { useRef, useState } from 'react'
import { type ApiFailure, apiUpload, failureSentence } from '@/components/ui/api-client'
import { faultLine } from '@/lib/model/fault'
import { photoRowSchema } from '@/lib/model/rows'

export type Upload = {
  id: string
  name: string
  journalId: string
  share: number
  state: 'waiting' | 'sending' | 'refused' | 'stopped'
  why: string
}

export type PhotoUploads = {
  /** On their way, and those refused until they are put aside. */
  uploads: readonly Upload[]
  /** Taken so far in this batch, of all that were not refused. */
  count: { done: number; of: number }
  add: (journalId: string, files: readonly File[]) => void
  stop: () => void
  putAside: (id: string) => void
}

/** @param onTaken called after each photograph that the server has taken */
export function usePhotoUploads(shaftId: string, onTaken: () => Promise<void>): PhotoUploads {
  const [uploads, setUploads] = useState<readonly Upload[]>([])
  const [count, setCount] = useState({ done: 0, of: 0 })
  const queue = useRef<{ id: string; file: File; journalId: string }[]>([])
  const running = useRef<AbortController | null>(null)

  const change = (id: string, part: Partial<Upload>) =>
    setUploads((before) => before.map((upload) => (upload.id === id ? { ...upload, ...part } : upload)))

  const work = async () => {
    if (running.current) return
    const stop = new AbortController()
    running.current = stop
    for (let next = queue.current.shift(); next; next = queue.current.shift()) {
      const { id, file, journalId } = next
      change(id, { state: 'sending' })
      const query = new URLSearchParams({ journalId, file: file.name, id })
      try {
        const answer = await apiUpload(photoRowSchema, {
          path: `/api/shafts/${shaftId}/photos?${query}`,
          raw: file,
          signal: stop.signal,
          onProgress: (share) => change(id, { share }),
        })
        if (answer.ok) {
          setUploads((before) => before.filter((upload) => upload.id !== id))
          setCount((before) => ({ ...before, done: before.done + 1 }))
          await onTaken()
        } else {
          change(id, { state: 'refused', why: refusal(answer.reason) })
          setCount((before) => ({ ...before, of: before.of - 1 }))
        }
      } catch {
        change(id, { state: 'stopped', why: 'Stopped before it was sent whole. Add it again to send it.' })
      }
    }
    running.current = null
    setCount({ done: 0, of: 0 })
  }

  return {
    uploads,
    count,
    add: (journalId, files) => {
      const added = files.map((file) => ({ id: crypto.randomUUID(), file, journalId }))
      queue.current.push(...added)
      setUploads((before) => [
        ...before,
        ...added.map(({ id, file }): Upload => ({ id, name: file.name, journalId, share: 0, state: 'waiting', why: '' })),
      ])
      setCount((before) => ({ done: before.done, of: before.of + added.length }))
      void work()
    },
    stop: () => {
      const left = new Set(queue.current.map(({ id }) => id))
      queue.current = []
      setUploads((before) => before.filter((upload) => !left.has(upload.id)))
      running.current?.abort()
    },
    putAside: (id) => setUploads((before) => before.filter((upload) => upload.id !== id)),
  }
}

function refusal(failure: ApiFailure): string {
  if (failure.kind === 'unreachable') return 'The server does not answer. Add it again when it is back.'
  const lines = failure.kind === 'refused' ? failure.faults.map(faultLine) : []
  const sentence = failureSentence(failure)
  return lines.length > 0 && !sentence.includes(lines[0] ?? '') ? `${sentence} ${lines.join(' ')}` : sentence
}
