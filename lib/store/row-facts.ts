/** The columns that every row shows in the same way. */
import { AppError } from '../model/app-error'
import type { MemberRecord } from './member'

type Dated = { id: string; version: number; position: number; updatedAt: Date; removedAt: Date | null }

export function rowFacts({ id, version, position, updatedAt, removedAt }: Dated) {
  return { id, version, position, updatedAt: updatedAt.toISOString(), removedAt: removedAt?.toISOString() ?? null }
}

export function memberFacts(stored: MemberRecord) {
  return { ...rowFacts(stored), shaftId: stored.shaftId }
}

/** A document that names a row which is not there. */
export function refusedName(kind: string, name: string, path: string): AppError {
  const remedy = `name a ${kind} that stands on this shaft`
  const fault = `there is no ${kind} named ${JSON.stringify(name)}`
  return new AppError('bad-input', `${path}: ${fault}; ${remedy}`, { faults: [{ path, fault, remedy }] })
}
