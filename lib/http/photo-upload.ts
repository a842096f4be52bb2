/** Pictures over HTTP: one as the body, or a form with several that are kept or refused one by one. */
import { randomUUID } from 'node:crypto'
import { AppError, badInput } from '../model/app-error'
import { rowIdSchema } from '../model/rows'
import { database } from '../store/database'
import { storedRow } from '../store/member'
import { attachPicture, takePhoto } from '../store/photo-intake'
import { photos } from '../store/photos'
import { largestBytes, refuseBySize } from '../store/picture-reader'
import { readAtMost, readForm } from './body'
import { problemOf } from './problem'
import { json } from './route'
import { withPlainCurrent } from './row-routes'

const largestFormBytes = 260_000_000

type UploadQuery = { journalId?: string; file?: string; id?: string }

export async function takeOne(shaftId: string, query: UploadQuery, request: Request): Promise<Response> {
  const file = query.file ?? 'photo'
  if (!query.journalId) throw missing('query parameter journalId', 'name the journal that the picture shows')
  const bytes = await pictureBody(request, file)
  const incoming = { shaftId, journalId: query.journalId, id: query.id ?? randomUUID(), file, bytes }
  const { row, made } = await takePhoto(incoming, new Date())
  return json(row, { status: made ? 201 : 200, version: row.version })
}

/** Fields: `journalId`, any number of `photo` files, and as many `id`s or none. Answers 207 with one result a file. */
export async function takeForm(shaftId: string, query: UploadQuery, request: Request): Promise<Response> {
  const form = await readForm(request, largestFormBytes)
  const journalId = query.journalId ?? form.get('journalId')
  if (typeof journalId !== 'string' || journalId === '') throw missing('field journalId', 'name the journal that the pictures show')
  const files = form.getAll('photo').filter((part) => typeof part !== 'string')
  if (files.length === 0) throw missing('field photo', 'add at least one picture')
  const ids = form.getAll('id')
  const results: object[] = []
  for (const [index, file] of files.entries()) {
    results.push(await kept({ shaftId, journalId, id: idOf(ids[index]), file }))
  }
  return json({ results }, { status: 207 })
}

export async function attachOne(id: string, version: number, query: { file?: string }, request: Request): Promise<Response> {
  const { shaftId } = await storedRow(photos, database().client, id)
  const file = query.file ?? 'photo'
  const bytes = await pictureBody(request, file)
  const row = await withPlainCurrent(attachPicture({ id, version, shaftId, file, bytes }, new Date()))
  return json(row, { version: row.version })
}

async function kept(part: { shaftId: string; journalId: string; id: string; file: File }): Promise<object> {
  try {
    refuseBySize(part.file.name, part.file.size)
    const bytes = new Uint8Array(await part.file.arrayBuffer())
    const { row } = await takePhoto({ ...part, file: part.file.name, bytes }, new Date())
    return { file: part.file.name, row }
  } catch (error) {
    if (!(error instanceof AppError)) throw error
    return { file: part.file.name, problem: problemOf(error) }
  }
}

export async function pictureBody(request: Request, file: string): Promise<Uint8Array> {
  const declared = request.headers.get('content-length')
  if (declared !== null) refuseBySize(file, Number(declared))
  return readAtMost(request, largestBytes, file)
}

function idOf(part: FormDataEntryValue | undefined): string {
  if (part === undefined) return randomUUID()
  const id = rowIdSchema.safeParse(part)
  if (id.success) return id.data
  throw badInput([{ path: 'field id', fault: 'is not a uuid', remedy: 'make one id for each picture, or leave them out' }])
}

export function missing(path: string, remedy: string): AppError {
  return badInput([{ path, fault: 'is missing', remedy }])
}
