/** Setting and moving points on a lift's picture: points of known place, of the two edges and the witness line, and the vertices of a mark being drawn. */
import type { Lift } from '@/lib/model/lift'
import type { Pixel } from '@/lib/model/photo'

export type LiftList = 'scale' | 'front' | 'rear' | 'witness' | 'mark'
export const liftLists: readonly LiftList[] = ['scale', 'front', 'rear', 'witness', 'mark']
export type LiftPointRef = { list: LiftList; index: number }

/** What one works on: the lift, and the mark being drawn on it, which is kept as a mark of the map and not with the lift. */
export type LiftWork = { lift: Lift; outline: readonly Pixel[] }

export type LiftTool = {
  held: LiftPointRef | null
  chosen: LiftPointRef | null
  /** As it is while a point is in the hand. */
  draft: LiftWork | null
}
export const noPoint: LiftTool = { held: null, chosen: null, draft: null }

export type LiftToolEvent =
  | { type: 'press'; at: Pixel; near: LiftPointRef | null }
  | { type: 'move'; at: Pixel }
  | { type: 'release' }
  | { type: 'give-up' }
  | { type: 'remove' }
  | { type: 'nudge'; right: number; down: number }
  | { type: 'choose'; point: LiftPointRef | null }

/** @param list the list that a press on bare picture adds to; `kept`: what has to be written */
export function stepLiftTool(
  tool: LiftTool,
  event: LiftToolEvent,
  work: LiftWork,
  list: LiftList,
): { tool: LiftTool; kept: LiftWork | null } {
  switch (event.type) {
    case 'press': {
      if (event.near) return still({ held: event.near, chosen: event.near, draft: null })
      const at = { list, index: pixelsOf(work, list).length }
      return still({ held: at, chosen: at, draft: withPixels(work, list, [...pixelsOf(work, list), inside(work.lift, event.at)]) })
    }
    case 'move':
      return still(tool.held ? { ...tool, draft: moved(tool.draft ?? work, tool.held, event.at) } : tool)
    case 'release':
      return { tool: { ...tool, held: null, draft: null }, kept: tool.draft }
    case 'give-up':
      return still(tool.held && pixelOf(work, tool.held) ? { ...noPoint, chosen: tool.held } : noPoint)
    case 'choose':
      return still({ ...noPoint, chosen: event.point })
    case 'remove': {
      const { chosen } = tool
      if (!chosen || !pixelOf(work, chosen)) return still(tool)
      const left = pixelsOf(work, chosen.list).filter((_, index) => index !== chosen.index)
      return { tool: noPoint, kept: withPixels(work, chosen.list, left, chosen.index) }
    }
    case 'nudge': {
      const from = tool.chosen && pixelOf(work, tool.chosen)
      if (!tool.chosen || !from) return still(tool)
      return { tool, kept: moved(work, tool.chosen, [from[0] + event.right, from[1] + event.down]) }
    }
  }
}

export function pixelsOf({ lift, outline }: LiftWork, list: LiftList): readonly Pixel[] {
  if (list === 'scale') return lift.scalePoints.map(({ pixel }) => pixel)
  return list === 'mark' ? outline : lift[list].pixels
}

export function pixelOf(work: LiftWork, { list, index }: LiftPointRef): Pixel | null {
  return pixelsOf(work, list)[index] ?? null
}

export function allLiftPoints(work: LiftWork): LiftPointRef[] {
  return liftLists.flatMap((list) => pixelsOf(work, list).map((_, index) => ({ list, index })))
}

/** The point nearest to a place within reach, of all lists. */
export function nearestLiftPoint(work: LiftWork, [x, y]: Pixel, reach: number): LiftPointRef | null {
  let best: { ref: LiftPointRef; distance: number } | null = null
  for (const list of liftLists)
    for (const [index, [u, v]] of pixelsOf(work, list).entries()) {
      const distance = Math.hypot(u - x, v - y)
      if (distance <= reach && (!best || distance < best.distance)) best = { ref: { list, index }, distance }
    }
  return best?.ref ?? null
}

export function sameLiftPoint(one: LiftPointRef | null, other: LiftPointRef | null): boolean {
  return one !== null && other !== null && one.list === other.list && one.index === other.index
}

function still(tool: LiftTool) {
  return { tool, kept: null }
}

function moved(work: LiftWork, { list, index }: LiftPointRef, at: Pixel): LiftWork {
  return withPixels(
    work,
    list,
    pixelsOf(work, list).map((pixel, place) => (place === index ? inside(work.lift, at) : pixel)),
  )
}

/** @param dropped the place of the one that was taken out: the typed places of the others stay with their points */
function withPixels(work: LiftWork, list: LiftList, pixels: readonly Pixel[], dropped?: number): LiftWork {
  const { lift } = work
  if (list === 'mark') return { ...work, outline: pixels }
  if (list !== 'scale') return { ...work, lift: { ...lift, [list]: { ...lift[list], pixels: [...pixels] } } }
  const places = lift.scalePoints.filter((_, index) => index !== dropped)
  const scalePoints = pixels.map((pixel, index) => ({ xMm: places[index]?.xMm ?? null, yMm: places[index]?.yMm ?? null, pixel }))
  return { ...work, lift: { ...lift, scalePoints } }
}

function inside({ width, height }: Lift, [x, y]: Pixel): Pixel {
  const within = (value: number, most: number) => Number(Math.min(most, Math.max(0, value)).toFixed(2))
  return [within(x, width), within(y, height)]
}
