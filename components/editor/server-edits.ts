/** A gesture in the server's words: what to create, update, remove or put back, each from the version last heard of. */
import type { Edit as ServerEdit } from '@/lib/model/edit'
import type { KnownRows } from './bench-state'
import type { Edit, Gesture } from './document'

/**
 * The request for one gesture. A row that the server keeps as removed is put back and then brought to the value; one it never had is made.
 * Several changes to a row follow each other's versions.
 */
export function serverEdits(gesture: Gesture, known: KnownRows): ServerEdit[] {
  const now = { ...known }
  return gesture.edits.flatMap((edit) => {
    const edits = oneRow(edit, now[edit.id])
    const version = (now[edit.id]?.version ?? 0) + edits.length
    now[edit.id] = { version, removed: edit.after === null }
    return edits
  })
}

function oneRow(edit: Edit, known: KnownRows[string] | undefined): ServerEdit[] {
  const { kind, id } = edit
  if (edit.after === null) return known && !known.removed ? [{ op: 'remove', kind, id, version: known.version }] : []
  const change = { kind: edit.kind, id, value: edit.after }
  if (!known) return [{ op: 'create', ...change } as ServerEdit]
  if (!known.removed) return [{ op: 'update', ...change, version: known.version } as ServerEdit]
  return [{ op: 'restore', kind, id, version: known.version }, { op: 'update', ...change, version: known.version + 1 } as ServerEdit]
}
