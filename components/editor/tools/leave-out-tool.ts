/** The tool *Leave out*: an outline on a photograph around what is not the journal (a rag, glare, the cheek in front). */
import type { Photo } from '@/lib/model/photo'
import { findRow } from '../document'
import { noOutline, type Outline, stepOutline } from './outline'
import { still, type ToolContext, type ToolEvent, type ToolStep } from './tool'

/** @param photoRow the row of the photograph that is open; the outline belongs to it. */
export function stepLeaveOut(outline: Outline, event: ToolEvent, context: ToolContext, photoRow: string): ToolStep<Outline> {
  if ((event.type === 'press' || event.type === 'move') && event.at.on !== 'photo') return still(outline)
  if (event.type !== 'keep') return still(stepOutline(outline, event, true, context.surface.radius))
  const photo = findRow(context.document, 'photo', photoRow)?.value as Photo | undefined
  if (!photo || outline.points.length < 3) return still(outline)
  const corners = outline.points.flatMap((point): [number, number][] => (point.on === 'photo' ? [[point.u, point.v]] : []))
  return {
    state: noOutline,
    edits: [{ kind: 'photo', id: photoRow, before: photo, after: { ...photo, ignore: [...photo.ignore, corners] } }],
    words: 'Leave a part out',
  }
}
