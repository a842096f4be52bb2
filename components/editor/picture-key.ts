/** Keys on a picture of the bench: Tab goes through the marks and the points of the chosen one, arrows move, Enter keeps, Esc gives up, Del removes. */
import type { KeyboardEvent } from 'react'
import { type JournalModel, worstFirst } from './bench-model'
import type { BenchDocument } from './document'
import { groundOfMark, placesOf } from './tools/place'
import { vertexOfTap } from './tools/trace-tool'
import type { BenchTools } from './use-bench-tools'

/** mm and degrees on the map; px on a photograph. */
const fine = { map: 0.1, photo: 1 }
const arrows: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }

export function pictureKey(event: KeyboardEvent<HTMLDivElement>, tools: BenchTools, model: JournalModel, document: BenchDocument): void {
  const arrow = arrows[event.key]
  if (arrow) {
    const by = (event.shiftKey ? 10 : 1) * fine[groundInHand(tools, document)]
    tools.send({ type: 'nudge', right: arrow[0] * by, up: arrow[1] * by })
  } else if (event.key === 'Tab') {
    if (!tabbed(event.shiftKey, tools, model, document)) return
  } else if (event.key === 'Enter') tools.send({ type: 'keep' })
  else if (event.key === 'Escape') tools.send({ type: 'give-up' })
  else if (event.key === 'Delete' || event.key === 'Backspace') tools.send({ type: 'remove' })
  else return
  event.preventDefault()
  event.stopPropagation()
}

function groundInHand(tools: BenchTools, document: BenchDocument): 'map' | 'photo' {
  const first = tools.outline.points[0] ?? tools.trace.taps[0] ?? tools.distance.from
  if (first) return first.on
  const mark = document.marks.find((row) => row.id === tools.chosenMark)
  return mark ? groundOfMark(mark.value).on : 'map'
}

/** False where Tab has come to the end and leaves the picture. */
function tabbed(back: boolean, tools: BenchTools, model: JournalModel, document: BenchDocument): boolean {
  if (tools.outline.points.length > 0) {
    const next = (tools.outline.chosen ?? tools.outline.points.length - 1) + (back ? -1 : 1)
    const inside = next >= 0 && next < tools.outline.points.length
    tools.send({ type: 'choose-vertex', vertex: inside ? next : null })
    return inside
  }
  const { taps, chosen } = tools.trace
  if (taps.length > 0) {
    const next = (chosen ?? taps.length - 1) + (back ? -1 : 1)
    const inside = next >= 0 && next < taps.length
    tools.send({ type: 'choose-vertex', vertex: inside ? vertexOfTap(tools.trace, next) : null })
    return inside
  }
  const order = worstFirst(model).map(({ row }) => row)
  const at = order.findIndex((row) => row.id === tools.chosenMark)
  const mark = document.marks.find((row) => row.id === tools.chosenMark)
  if (mark && tools.tool === 'shift') {
    const count = placesOf(mark.value, model.surface).length
    const next = tools.shift.vertex === null ? (back ? count - 1 : 0) : tools.shift.vertex + (back ? -1 : 1)
    if (next >= 0 && next < count) {
      tools.send({ type: 'choose-vertex', vertex: next })
      return true
    }
  }
  const next = order[at < 0 ? (back ? order.length - 1 : 0) : at + (back ? -1 : 1)]
  tools.chooseMark(next?.id ?? null)
  return next !== undefined
}
