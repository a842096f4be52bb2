/** The tools *Mark* and *Patch*: points set one after another become a line or a closed outline when they are kept. */
import { type Mark, markSchema } from '@/lib/model/mark'
import { markLetter, nextMarkName } from '../mark-names'
import { noOutline, type Outline, stepOutline } from './outline'
import { groundOf, type Place, sameGround, withPlaces } from './place'
import { still, type ToolContext, type ToolEvent, type ToolStep } from './tool'

export type DrawShape = 'line' | 'area'

export const fewestPoints: Record<DrawShape, number> = { line: 2, area: 3 }

export function stepDraw(outline: Outline, event: ToolEvent, context: ToolContext, shape: DrawShape): ToolStep<Outline> {
  if (event.type === 'press' || event.type === 'move') {
    const at = onGround(outline, event.at, context)
    return at ? still(stepOutline(outline, { ...event, at }, shape === 'area', context.surface.radius)) : still(outline)
  }
  if (event.type === 'keep') {
    const mark = draftMark(outline, context, shape)
    if (!mark) return still(outline)
    return {
      state: noOutline,
      edits: [{ kind: 'mark', id: context.newRowId(), before: null, after: mark }],
      words: `Draw ${shape === 'line' ? 'mark' : 'patch'} ${markLetter(mark)}`,
    }
  }
  return still(stepOutline(outline, event, shape === 'area', context.surface.radius))
}

/** The mark that keeping the outline would make; null while it has too few points. */
export function draftMark(outline: Outline, context: Pick<ToolContext, 'document' | 'journalId'>, shape: DrawShape): Mark | null {
  if (outline.points.length < fewestPoints[shape]) return null
  const { document, journalId } = context
  return withPlaces(markSchema.parse({ id: nextMarkName(document, journalId), journalId, shape }), outline.points)
}

/** A press or move in the terms of the picture on which the outline was begun. */
function onGround(outline: Outline, at: Place, context: ToolContext) {
  const first = outline.points[0]
  if (!first || sameGround(groundOf(first), groundOf(at))) return at
  return context.convert(at, groundOf(first))
}
