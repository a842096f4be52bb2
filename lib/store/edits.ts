/** One gesture on a shaft: every edit in one transaction, each against its row's version, the shaft checked as a whole at the end. */
import { AppError } from '../model/app-error'
import type { Edit, EditedRow, RowKind } from '../model/edit'
import { type Transaction, writeShaft } from './database'
import { refuseFaultyShaft } from './document'
import { journals } from './journals'
import { lifts } from './lifts'
import { marks } from './marks'
import { addRow, changeRow, type Member, type MemberRecord, putBack, staleRow, storedRow, takeAway } from './member'
import { photos } from './photos'
import { changeShaft, shaftRowOf } from './shaft-row'
import { sizes } from './sizes'

export const members = { journal: journals, photo: photos, mark: marks, sizes, lift: lifts } as const
const parentsFirst: readonly RowKind[] = ['journal', 'photo', 'mark', 'sizes', 'lift']

/**
 * Writes the edits of one gesture, all or none.
 * @param paths JSONPath of each edit's value in the request, for faults; `$.edits[i].value` unless given
 * @returns every row touched, as it stands now
 * @throws AppError stale with the rows as they stand, conflict, not-found, bad-input
 */
export function applyEdits(shaftId: string, edits: readonly Edit[], now: Date, paths?: readonly string[]): Promise<EditedRow[]> {
  return writeShaft(shaftId, now, async (tx) => {
    await refuseStale(tx, shaftId, edits)
    const touched = new Map<string, RowKind | 'shaft'>()
    for (const [index, edit] of edits.entries()) {
      const path = paths?.[index] ?? `$.edits[${index}].value`
      for (const [id, kind] of await applyEdit(tx, shaftId, edit, path, now)) touched.set(id, kind)
    }
    const at = (id: string) => {
      const index = edits.findIndex((edit) => edit.id === id)
      return index < 0 ? null : (paths?.[index] ?? `$.edits[${index}].value`)
    }
    await refuseFaultyShaft(tx, shaftId, at)
    return Promise.all([...touched].map(([id, kind]) => editedRow(tx, kind, id)))
  })
}

/** Every edit of a standing row must hold its version, or nothing is written and all the newer rows are answered at once. */
async function refuseStale(tx: Transaction, shaftId: string, edits: readonly Edit[]): Promise<void> {
  const seen = new Set<string>()
  const stale: EditedRow[] = []
  for (const edit of edits) {
    if (edit.op === 'create' || seen.has(edit.id)) continue
    seen.add(edit.id)
    const current = await editedRow(tx, edit.kind, edit.id)
    if ((edit.kind === 'shaft' ? edit.id : (current.row as { shaftId: string }).shaftId) !== shaftId) {
      throw new AppError('not-found', `There is no ${edit.kind} with the id ${edit.id} on this shaft; read the shaft again.`)
    }
    const removed = current.row.removedAt !== null
    if (current.row.version !== edit.version || removed !== (edit.op === 'restore')) stale.push(current)
  }
  const [first] = stale
  if (first) throw staleRow(first.kind, { rows: stale })
}

async function applyEdit(tx: Transaction, shaftId: string, edit: Edit, path: string, now: Date): Promise<[string, RowKind | 'shaft'][]> {
  if (edit.kind === 'shaft') {
    await changeShaft(tx, edit, now)
    return [[edit.id, 'shaft']]
  }
  if (edit.op === 'remove') return removeRow(tx, edit.kind, edit.id, now)
  if (edit.op === 'restore') return restoreRow(tx, edit.kind, edit.id, now)
  const member = members[edit.kind] as unknown as Member<unknown, MemberRecord, unknown>
  if (edit.op === 'create') await addRow(member, tx, { ...edit, shaftId, path }, now)
  else await changeRow(member, tx, { ...edit, stored: await storedRow(member, tx, edit.id), path }, now)
  return [[edit.id, edit.kind]]
}

/** What hangs on a journal goes with it, and what was drawn on a photo goes with the photo. */
async function removeRow(tx: Transaction, kind: RowKind, id: string, now: Date): Promise<[string, RowKind][]> {
  const gone: [string, RowKind][] = []
  const take = async (taken: RowKind, where: object) => {
    const member = members[taken] as unknown as Member<unknown, MemberRecord, unknown>
    for (const one of await takeAway(member, tx, where, id, now)) gone.push([one, taken])
  }
  await take(kind, { id })
  if (kind === 'journal') for (const hanging of ['photo', 'mark', 'sizes', 'lift'] as const) await take(hanging, { journalId: id })
  if (kind === 'photo') await take('mark', { photoId: id })
  return gone
}

async function restoreRow(tx: Transaction, kind: RowKind, id: string, now: Date): Promise<[string, RowKind][]> {
  const back: [string, RowKind][] = []
  for (const put of parentsFirst) {
    const member = members[put] as unknown as Member<unknown, MemberRecord, unknown>
    for (const one of await putBack(member, tx, id, now)) back.push([one, put])
  }
  if (!back.some(([one]) => one === id)) {
    throw new AppError('conflict', `This ${kind} was removed together with what it belongs to; put that back.`)
  }
  return back
}

/** @throws AppError not-found */
export async function editedRow(tx: Transaction, kind: RowKind | 'shaft', id: string): Promise<EditedRow> {
  switch (kind) {
    case 'shaft':
      return { kind, row: await shaftRowOf(tx, id) }
    case 'journal':
      return { kind, row: journals.rowOf(await storedRow(journals, tx, id)) }
    case 'photo':
      return { kind, row: photos.rowOf(await storedRow(photos, tx, id)) }
    case 'mark':
      return { kind, row: marks.rowOf(await storedRow(marks, tx, id)) }
    case 'sizes':
      return { kind, row: sizes.rowOf(await storedRow(sizes, tx, id)) }
    case 'lift':
      return { kind, row: lifts.rowOf(await storedRow(lifts, tx, id)) }
  }
}
