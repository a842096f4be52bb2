'use client'
/** The tools on the bench: which one is in hand, its state, and the draft it makes. */
import { useMemo, useRef, useState } from 'react'
import type { JournalModel } from './bench-model'
import type { BenchStore } from './bench-store'
import { convertPlace } from './convert-place'
import type { BenchDocument, Edit } from './document'
import { type DistanceState, noDistance, stepDistance } from './tools/distance-tool'
import { draftMark, stepDraw } from './tools/draw-tool'
import { stepLeaveOut } from './tools/leave-out-tool'
import { noOutline, type Outline } from './tools/outline'
import { nothingChosen, type ShiftState, stepShift } from './tools/shift-tool'
import type { MapPlace } from './tools/place'
import type { ToolContext, ToolEvent } from './tools/tool'
import { noTrace, stepTrace, stepTraced, tracedMark, type TraceState } from './tools/trace-tool'

export const toolNames = ['mark', 'patch', 'distance', 'leave-out', 'shift', 'trace'] as const
export type ToolName = (typeof toolNames)[number]

export const draftRowId = 'draft'

type InHand = { outline: Outline; shift: ShiftState; distance: DistanceState; trace: TraceState }
const emptyHand: InHand = { outline: noOutline, shift: nothingChosen, distance: noDistance, trace: noTrace }

export type BenchTools = {
  tool: ToolName
  setTool: (tool: ToolName) => void
  outline: Outline
  shift: ShiftState
  distance: DistanceState
  trace: TraceState
  /** A stretch of the trace was followed. */
  traced: (way: number, points: readonly MapPlace[]) => void
  /** Takes the tool *Mark* with these points already set: a suggestion to be mended. */
  begin: (points: readonly MapPlace[]) => void
  /** What the tool in hand would change if it were kept now. */
  draft: readonly Edit[]
  chosenMark: string | null
  chooseMark: (rowId: string | null) => void
  send: (event: ToolEvent) => void
  /** Something is begun that Keep or Esc would end. */
  busy: boolean
}

/** @param photoRow the photograph that is open, for the tool *Leave out* */
export function useBenchTools(document: BenchDocument, model: JournalModel, store: BenchStore, photoRow: string | null): BenchTools {
  const [tool, setToolName] = useState<ToolName>('mark')
  const [inHand, setInHand] = useState<InHand>(emptyHand)
  const { outline, shift, distance, trace } = inHand
  /** A move and the letting go may come before the next drawing: each goes on from what the last one left. */
  const latest = useRef(inHand)
  const hold = (part: Partial<InHand>) => {
    latest.current = { ...latest.current, ...part }
    setInHand(latest.current)
  }
  const context: ToolContext = {
    document,
    journalId: model.row.value.id,
    surface: model.surface,
    newRowId: () => crypto.randomUUID(),
    convert: (place, ground) => convertPlace(model, place, ground),
  }
  const done = ({ edits, words }: { edits: readonly Edit[]; words: string }) => store.perform(words, edits)

  const send = (event: ToolEvent) => {
    const hand = latest.current
    if (tool === 'shift') {
      const step = stepShift(hand.shift, event, context)
      hold({ shift: step.state })
      done(step)
    } else if (tool === 'distance') hold({ distance: stepDistance(hand.distance, event, context).state })
    else if (tool === 'leave-out') {
      const step = stepLeaveOut(hand.outline, event, context, photoRow ?? '')
      hold({ outline: step.state })
      done(step)
    } else if (tool === 'trace') {
      const step = stepTrace(hand.trace, event, context)
      const made = step.edits[0]
      hold(made ? { trace: step.state, shift: { ...nothingChosen, markRow: made.id } } : { trace: step.state })
      done(step)
    } else {
      const step = stepDraw(hand.outline, event, context, tool === 'mark' ? 'line' : 'area')
      const made = step.edits[0]
      hold(made ? { outline: step.state, shift: { ...nothingChosen, markRow: made.id } } : { outline: step.state })
      done(step)
    }
  }
  const draft = useMemo((): Edit[] => {
    if (tool === 'shift') {
      const row = document.marks.find((mark) => mark.id === shift.markRow)
      return row && shift.draft ? [{ kind: 'mark', id: row.id, before: row.value, after: shift.draft }] : []
    }
    const place = { document, journalId: model.row.value.id }
    if (tool !== 'mark' && tool !== 'patch' && tool !== 'trace') return []
    const mark = tool === 'trace' ? tracedMark(trace, place) : draftMark(outline, place, tool === 'mark' ? 'line' : 'area')
    return mark ? [{ kind: 'mark', id: draftRowId, before: null, after: mark }] : []
  }, [tool, shift, outline, trace, document, model.row.value.id])

  return {
    tool,
    setTool: (next) => {
      setToolName(next)
      hold({ outline: noOutline, distance: noDistance, trace: noTrace })
    },
    outline,
    trace,
    traced: (way, points) => hold({ trace: stepTraced(latest.current.trace, way, points) }),
    begin: (points) => {
      setToolName('mark')
      hold({ outline: { points, held: null, chosen: null }, distance: noDistance, trace: noTrace })
    },
    shift,
    distance,
    draft,
    chosenMark: shift.markRow !== null && document.marks.some((mark) => mark.id === shift.markRow) ? shift.markRow : null,
    chooseMark: (rowId) => hold({ shift: { ...nothingChosen, markRow: rowId } }),
    send,
    busy: outline.points.length > 0 || trace.taps.length > 0 || distance.from !== null || shift.held !== null,
  }
}
