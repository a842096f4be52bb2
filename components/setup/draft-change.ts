/** One change to a journal, carried over to the others of its kind: only what was changed, so that exceptions stay. */
import type { EndDraft, HoleDraft, JournalDraft, StripDraft } from './journal-draft'

/** @returns `target` with everything that differs between `before` and `after` set as in `after`. */
export function withChange(target: JournalDraft, before: JournalDraft, after: JournalDraft): JournalDraft {
  return {
    ...merged(target, before, after),
    front: merged<EndDraft>(target.front, before.front, after.front),
    rear: merged<EndDraft>(target.rear, before.rear, after.rear),
    strip: merged<StripDraft>(target.strip, before.strip, after.strip),
    holes: mergedHoles(target.holes, before.holes, after.holes),
  }
}

function mergedHoles(target: HoleDraft[], before: HoleDraft[], after: HoleDraft[]): HoleDraft[] {
  const removed = before.filter((hole) => !after.some((other) => other.id === hole.id))
  const added = after.filter((hole) => !before.some((other) => other.id === hole.id) && !target.some((other) => other.id === hole.id))
  const kept = target
    .filter((hole) => !removed.some((other) => other.id === hole.id))
    .map((hole) => {
      const was = before.find((other) => other.id === hole.id)
      const is = after.find((other) => other.id === hole.id)
      return was && is ? merged(hole, was, is) : hole
    })
  return [...kept, ...added]
}

function merged<Shape extends object>(target: Shape, before: Shape, after: Shape): Shape {
  const changed = Object.entries(after).filter(([name, value]) => (before as Record<string, unknown>)[name] !== value)
  return { ...target, ...Object.fromEntries(changed) }
}
