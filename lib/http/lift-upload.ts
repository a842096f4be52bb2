/** The picture of a flat lift over HTTP, as the body. */
import { randomUUID } from 'node:crypto'
import { takeLift } from '../store/lift-intake'
import { missing, pictureBody } from './photo-upload'
import { json } from './route'

export async function takeLiftBody(
  shaftId: string,
  query: { journalId?: string; file?: string; id?: string },
  request: Request,
): Promise<Response> {
  const file = query.file ?? 'lift'
  if (!query.journalId) throw missing('query parameter journalId', 'name the journal that the lift was taken from')
  const bytes = await pictureBody(request, file)
  const { row, made } = await takeLift({ shaftId, journalId: query.journalId, id: query.id ?? randomUUID(), file, bytes }, new Date())
  return json(row, { status: made ? 201 : 200, version: row.version })
}
