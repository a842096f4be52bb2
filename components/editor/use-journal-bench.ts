'use client'
/** Everything the bench shows of one journal, with the mark that is being drawn or moved already measured. */
import { type KeyboardEvent, useDeferredValue, useMemo, useState } from 'react'
import type { BenchMark } from '@/components/map/bench-mark'
import { useJournalRollout } from '@/components/map/use-journal-rollout'
import { useSuggestions } from '@/components/map/use-suggestions'
import { useTraceFollower } from '@/components/map/use-trace-follower'
import { useNextPhoto } from '@/components/photo/use-next-photo'
import { useUnits } from '@/components/ui/preferences'
import type { MapPoint } from '@/lib/journal/surface'
import { benchMark, journalModel, markFinding, unseenOf, worstFirst } from './bench-model'
import type { JournalModel } from './bench-model'
import type { BenchState } from './bench-state'
import type { BenchStore } from './bench-store'
import { convertPlace } from './convert-place'
import { distanceWords } from './distance-words'
import { applyEdits } from './document'
import { pictureKey } from './picture-key'
import type { Place } from './tools/place'
import { traceVertices, vertexOfTap } from './tools/trace-tool'
import { draftRowId, useBenchTools } from './use-bench-tools'
import { valueStore } from './value-store'

export function useJournalBench(store: BenchStore, state: BenchState, model: JournalModel, photoRow: string | null) {
  const { document } = state
  const units = useUnits()
  const photo = model.photos.find((row) => row.id === photoRow) ?? firstPhoto(model)
  const tools = useBenchTools(document, model, store, photo?.id ?? null)
  const [cursor] = useState(() => valueStore<MapPoint | null>(null))
  const draft = useDeferredValue(tools.draft)
  const live = useMemo(
    () => (draft.length > 0 ? journalModel(applyEdits(document, draft), model.row, model.aligned, model) : model),
    [document, draft, model],
  )
  const rollout = useJournalRollout(model)
  const unseen = useMemo(() => unseenOf(model), [model])
  const nextPhoto = useNextPhoto(model)
  useTraceFollower(tools, rollout.picture, model.surface)
  const { tool, outline, trace, shift, chosenMark } = tools
  const marks = useMemo(
    () => benchMarks(live, model, { tool, outline, trace, shift, chosenMark }),
    [live, model, tool, outline, trace, shift, chosenMark],
  )
  const suggestions = useSuggestions(model, marks, document, store, tools)
  const inHand = draft[0]?.id === draftRowId ? draftRowId : tools.chosenMark
  const shown = worstFirst(live)
  const open = shown.find(({ row }) => row.id === inHand) ?? null
  return {
    photo,
    tools,
    cursor,
    live,
    rollout,
    unseen,
    nextPhoto,
    suggestions,
    marks,
    /** Marks with their findings, worst first; the draft among them. */
    shown,
    /** The mark in hand: being drawn, or chosen. */
    open,
    openVertices: marks.find((mark) => mark.rowId === inHand)?.vertices ?? null,
    openFinding: open ? markFinding(live, open.row.value) : undefined,
    distanceWords: distanceWords(tools.distance, model, units),
    onKey: (event: KeyboardEvent<HTMLDivElement>) => pictureKey(event, tools, model, document),
  }
}

export type JournalBenchState = ReturnType<typeof useJournalBench>

/** The photograph one looks at first: the one that the worst mark was drawn on, else the first. */
function firstPhoto(model: JournalModel) {
  const worst = worstFirst(model)[0]?.row.value
  return model.photos.find((row) => row.value.id === worst?.photoId) ?? model.photos[0]
}

type InHand = Pick<ReturnType<typeof useBenchTools>, 'tool' | 'outline' | 'trace' | 'shift' | 'chosenMark'>

function benchMarks(live: JournalModel, model: JournalModel, tools: InHand): BenchMark[] {
  const moving = tools.tool === 'shift'
  const marks = live.marks
    .filter((row) => row.id !== draftRowId)
    .map((row) =>
      benchMark(
        live,
        row,
        row.id === tools.chosenMark,
        moving && row.id === tools.chosenMark,
        row.id === tools.shift.markRow ? tools.shift.vertex : null,
      ),
    )
  const begun = begunMark(live, model, tools)
  return begun ? [...marks, begun] : marks
}

/** The line being drawn, from its first point on. */
function begunMark(live: JournalModel, model: JournalModel, tools: InHand): BenchMark | null {
  const begun = begunLine(tools)
  if (begun.points.length === 0) return null
  const { points, chosen } = begun
  const vertices = points.flatMap((point) => {
    const onMap = convertPlace(model, point, { on: 'map' })
    return onMap?.on === 'map' ? [{ theta: onMap.theta, s: onMap.s }] : []
  })
  const first = points[0]
  const pixels = points.flatMap((point): [number, number][] => (point.on === 'photo' ? [[point.u, point.v]] : []))
  const row = live.marks.find((mark) => mark.id === draftRowId)
  const closed = tools.tool === 'patch' && points.length > 2
  const base = row ? benchMark(live, row, true, true, chosen) : null
  return {
    rowId: draftRowId,
    letter: base?.letter ?? 'new',
    closed,
    vertices: vertices.length === points.length ? continuous(vertices) : null,
    drawn: first?.on === 'photo' ? { photoId: first.photoId, pixels } : null,
    concern: base?.concern ?? null,
    chosen: true,
    open: true,
    chosenVertex: chosen,
  }
}

/** The points set so far by the tool in hand, and which of them is chosen. */
function begunLine({ tool, outline, trace }: InHand): { points: readonly Place[]; chosen: number | null } {
  if (tool === 'trace') return { points: traceVertices(trace), chosen: trace.chosen === null ? null : vertexOfTap(trace, trace.chosen) }
  return tool === 'mark' || tool === 'patch' ? outline : { points: [], chosen: null }
}

function continuous(points: readonly MapPoint[]): MapPoint[] {
  const turn = 2 * Math.PI
  const out: MapPoint[] = []
  for (const point of points) {
    const before = out.at(-1)
    out.push(before ? { theta: point.theta + Math.round((before.theta - point.theta) / turn) * turn, s: point.s } : point)
  }
  return out
}
