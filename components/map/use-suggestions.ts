'use client'
/** Marks suggested from the photographs: looked for in a worker, counted and stoppable; each is nothing until a person accepts it. */
import { useEffect, useMemo, useRef, useState } from 'react'
import { type JournalModel, rolledOut } from '@/components/editor/bench-model'
import type { BenchStore } from '@/components/editor/bench-store'
import type { BenchDocument } from '@/components/editor/document'
import { markLetter, nextMarkName } from '@/components/editor/mark-names'
import type { BenchTools } from '@/components/editor/use-bench-tools'
import { loadBitmap, previewPath } from '@/components/photo/photo-picture'
import { meanDirection, pathPieces } from '@/lib/journal/map-path'
import { type MapPoint, sOfAxial } from '@/lib/journal/surface'
import { markSchema } from '@/lib/model/mark'
import { isAlreadyDrawn } from '@/lib/trace/already-drawn'
import type { Candidate } from '@/lib/trace/suggest'
import { leftOutOf } from '@/lib/photo/left-out'
import type { FromSuggester, ToSuggester } from '@/lib/trace/suggest-messages'
import { lineViewOf } from '@/lib/trace/line-view'
import type { BenchMark } from './bench-mark'

export type Suggestion = Candidate & { key: string; vertices: readonly MapPoint[]; lengthMm: number }
export type Suggestions = {
  work: { done: number; of: number } | null
  failed: string | null
  /** Strongest first, without those already decided or drawn; null: not looked for yet. */
  open: readonly Suggestion[] | null
  /** How many are left out because they lie on marks that are drawn. */
  drawn: number
  chosen: string | null
  /** The one that a person has gone to, shown near; null while none is. */
  shown: Suggestion | null
  /** Photographs or fits have changed since they were looked for. */
  stale: boolean
  /** How many photographs there are to look in. */
  photos: number
  look: () => void
  stop: () => void
  choose: (key: string | null) => void
  accept: (suggestion: Suggestion) => void
  /** Into the tool *Mark*, to be mended and kept. */
  trim: (suggestion: Suggestion) => void
  reject: (suggestion: Suggestion) => void
}

type Found = { list: readonly Suggestion[]; from: string }

export function useSuggestions(
  model: JournalModel,
  marks: readonly BenchMark[],
  document: BenchDocument,
  store: BenchStore,
  tools: BenchTools,
): Suggestions {
  const [found, setFound] = useState<Found | null>(null)
  const [work, setWork] = useState<Suggestions['work']>(null)
  const [failed, setFailed] = useState<string | null>(null)
  const [chosen, setChosen] = useState<string | null>(null)
  const [near, setNear] = useState(false)
  const running = useRef<{ stop: () => void } | null>(null)
  useEffect(() => () => running.current?.stop(), [])
  const views = rolledOut(model)
  const from = views
    .map(({ row, fit }) => `${row.id}:${fit.camera.focalPx}:${fit.camera.translation.join()}:${row.value.ignore.length}`)
    .join(' ')

  const choose = (key: string | null) => {
    setChosen(key)
    setNear(key !== null)
  }
  const stop = () => {
    running.current?.stop()
    running.current = null
    setWork(null)
  }
  const look = () => {
    stop()
    setFailed(null)
    setWork({ done: 0, of: views.length + 2 })
    running.current = lookForMarks(model, (message) => {
      if (message.say === 'progress') return setWork({ done: message.done, of: message.of })
      setWork(null)
      if (message.say === 'failed') return setFailed(message.message)
      const list = message.candidates.map((candidate, index) => suggestionOf(model, candidate, `suggestion-${index}`))
      setFound({ list, from })
      choose(null)
    })
  }
  const { surface } = model
  const open = useMemo(() => {
    const drawn = marks.flatMap(({ closed, vertices }) => (vertices ? [{ closed, vertices }] : []))
    return found?.list.filter(({ vertices }) => !isAlreadyDrawn(surface, vertices, drawn)) ?? null
  }, [found, marks, surface])
  const decided = ({ key }: Suggestion) => {
    const list = open ?? []
    const at = list.findIndex((one) => one.key === key)
    const left = list.filter((one) => one.key !== key)
    setFound((before) => before && { ...before, list: before.list.filter((one) => one.key !== key) })
    setChosen(left[Math.min(at, left.length - 1)]?.key ?? null)
  }
  const current = open?.find(({ key }) => key === chosen) ?? open?.[0] ?? null
  return {
    work,
    failed,
    open,
    drawn: (found?.list.length ?? 0) - (open?.length ?? 0),
    chosen: current?.key ?? null,
    shown: near ? current : null,
    stale: found !== null && found.from !== from,
    photos: views.length,
    look,
    stop,
    choose,
    accept: (suggestion) => {
      const journalId = model.row.value.id
      const after = { ...markSchema.parse({ id: nextMarkName(document, journalId), journalId, shape: 'line' }), points: suggestion.points }
      store.perform(`Accept suggested mark ${markLetter(after)}`, [{ kind: 'mark', id: crypto.randomUUID(), before: null, after }])
      decided(suggestion)
    },
    trim: (suggestion) => {
      tools.begin(suggestion.vertices.map((vertex) => ({ on: 'map', ...vertex })))
      decided(suggestion)
      setNear(false)
    },
    reject: decided,
  }
}

function suggestionOf(model: JournalModel, candidate: Candidate, key: string): Suggestion {
  const vertices = candidate.points.map(({ angleDeg, axial }) => ({ theta: (angleDeg * Math.PI) / 180, s: sOfAxial(model.surface, axial) }))
  return { ...candidate, key, vertices, lengthMm: meanDirection(pathPieces(model.surface, vertices)).length }
}

type End = Exclude<FromSuggester, { say: 'want' }>

function lookForMarks(model: JournalModel, tell: (message: End) => void): { stop: () => void } {
  const worker = new Worker(new URL('../../lib/trace/suggest-worker.ts', import.meta.url))
  const aborted = new AbortController()
  const views = rolledOut(model)
  const say = (message: ToSuggester, handOver: Transferable[] = []) => worker.postMessage(message, handOver)
  const give = async (view: number) => {
    const row = views[view]?.row
    const bitmap = row ? await loadBitmap(previewPath(row.id, 'full'), aborted.signal).catch(() => null) : null
    if (!aborted.signal.aborted) say({ say: 'picture', view, bitmap }, bitmap ? [bitmap] : [])
  }
  const stop = () => {
    aborted.abort()
    worker.terminate()
  }
  worker.onmessage = ({ data }: MessageEvent<FromSuggester>) => {
    if (data.say === 'want') return void give(data.view)
    tell(data)
    if (data.say !== 'progress') stop()
  }
  worker.onerror = (event) => {
    tell({ say: 'failed', message: event.message })
    stop()
  }
  say({
    say: 'begin',
    journal: model.row.value,
    views: views.map(({ row, fit }) =>
      lineViewOf(
        fit,
        leftOutOf(row.value, fit).map((outline) => [...outline]),
      ),
    ),
  })
  return { stop }
}
