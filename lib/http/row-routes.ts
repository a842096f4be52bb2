/** The routes that journals, photos, marks, sizes and lifts share: list and add on a shaft, read, replace and remove by id. */
import type { z } from 'zod'
import { AppError } from '../model/app-error'
import { type Edit, type EditedRow, editSchema, type RowKind } from '../model/edit'
import { database } from '../store/database'
import { readDocument } from '../store/document'
import { applyEdits, editedRow } from '../store/edits'
import { readLifts } from '../store/lifts'
import type { Endpoint } from './endpoint'
import { json, type Route, route } from './route'

type IdParams = z.ZodObject<{ id: z.ZodUUID }>
type Document = { position?: number } & { [kind in RowKind]?: unknown }
type RowEndpoints = {
  list: Endpoint<IdParams>
  read: Endpoint<IdParams>
  replace: Endpoint<IdParams, z.ZodType, z.ZodType<Document>>
  remove: Endpoint<IdParams>
}

export function rowRoutes(kind: RowKind, endpoints: RowEndpoints): Record<keyof RowEndpoints, Route> {
  const path = `$.${kind}`
  return {
    list: route(endpoints.list, async ({ params }) => json({ rows: await rowsOf(kind, params.id) })),
    read: route(endpoints.read, async ({ params }) => {
      const { row } = await knownRow(kind, params.id)
      if (row.removedAt !== null) throw new AppError('not-found', `This ${kind} was removed; an edit "restore" puts it back.`)
      return json(row, { version: row.version })
    }),
    replace: route(endpoints.replace, async ({ params, body, version }) => {
      const { shaftId } = (await knownRow(kind, params.id)).row
      const edit = editSchema.parse({ op: 'update', kind, id: params.id, version, position: body.position, value: body[kind] })
      const { row } = await writeOne(shaftId, edit, path)
      return json(row, { version: row.version })
    }),
    remove: route(endpoints.remove, async ({ params, version }) => {
      const { shaftId } = (await knownRow(kind, params.id)).row
      const rows = await withPlainCurrent(applyEdits(shaftId, [{ op: 'remove', kind, id: params.id, version }], new Date(), [path]))
      return json({ rows })
    }),
  }
}

export function addRoute(kind: RowKind, endpoint: Endpoint<IdParams, z.ZodType, z.ZodType<Document & { id: string }>>): Route {
  return route(endpoint, async ({ params, body }) => {
    const there = await standing(kind, body.id)
    const edit = editSchema.parse({ op: 'create', kind, id: body.id, position: body.position, value: body[kind] })
    const { row } = await writeOne(params.id, edit, `$.${kind}`)
    return json(row, { status: there ? 200 : 201, version: row.version })
  })
}

/** A stale write of one row answers that row itself, not a list of one. */
export async function withPlainCurrent<Value>(written: Promise<Value>): Promise<Value> {
  try {
    return await written
  } catch (error) {
    if (!(error instanceof AppError && error.code === 'stale')) throw error
    const { rows } = error.current as { rows: EditedRow[] }
    throw new AppError('stale', error.message, { current: rows[0]?.row })
  }
}

type MemberEdited = Exclude<EditedRow, { kind: 'shaft' }>

async function knownRow(kind: RowKind, id: string): Promise<MemberEdited> {
  return (await editedRow(database().client, kind, id)) as MemberEdited
}

async function standing(kind: RowKind, id: string): Promise<boolean> {
  return knownRow(kind, id).then(
    () => true,
    (error) => {
      if (error instanceof AppError && error.code === 'not-found') return false
      throw error
    },
  )
}

async function writeOne(shaftId: string, edit: Edit, path: string): Promise<MemberEdited> {
  const rows = await withPlainCurrent(applyEdits(shaftId, [edit], new Date(), [path]))
  return rows[0] as MemberEdited
}

async function rowsOf(kind: RowKind, shaftId: string) {
  if (kind === 'lift') return readLifts(shaftId)
  const { journals, photos, marks, sizes } = await readDocument(shaftId)
  return { journal: journals, photo: photos, mark: marks, sizes }[kind]
}
