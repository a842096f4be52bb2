/** Refusals as problem documents (RFC 9457); the one place where a code becomes a status. */
import { z } from 'zod'
import type { AppError, AppErrorCode } from '../model/app-error'

const statusByCode: Record<AppErrorCode, number> = {
  'bad-input': 400,
  forbidden: 403,
  'not-found': 404,
  conflict: 409,
  stale: 412,
  'too-large': 413,
  'unsupported-picture': 415,
  'precondition-required': 428,
  'not-built-yet': 501,
}

const titleByCode: Record<AppErrorCode, string> = {
  'bad-input': 'The input has a fault',
  forbidden: 'Refused',
  'not-found': 'Not found',
  conflict: 'Taken already',
  stale: 'Changed meanwhile',
  'too-large': 'Too large',
  'unsupported-picture': 'Not a picture that can be read',
  'precondition-required': 'The version is missing',
  'not-built-yet': 'Not built yet',
}

export const problemSchema = z.object({
  type: z.string(),
  title: z.string(),
  status: z.int(),
  detail: z.string(),
  code: z.string(),
  /** JSONPath of the value at fault. */
  path: z.string().optional(),
  faults: z.array(z.object({ path: z.string(), fault: z.string(), remedy: z.string() })).optional(),
  /** For 412: the row as it stands now, or `{ rows }` where several were written. */
  current: z.unknown().optional(),
})
export type Problem = z.infer<typeof problemSchema>

export function problemOf(error: AppError): Problem {
  return {
    type: 'about:blank',
    title: titleByCode[error.code],
    status: statusByCode[error.code],
    detail: error.message,
    code: error.code,
    ...(error.path !== undefined && { path: error.path }),
    ...(error.faults.length > 0 && { faults: [...error.faults] }),
    ...(error.current !== undefined && { current: error.current }),
  }
}

export function problemResponse(problem: Problem): Response {
  return new Response(JSON.stringify(problem), {
    status: problem.status,
    headers: { 'content-type': 'application/problem+json', 'cache-control': 'no-store' },
  })
}

/** A bug shows no more than that there was one; what it was goes to the log of the program. */
export const bugProblem: Problem = {
  type: 'about:blank',
  title: 'The program failed',
  status: 500,
  detail: 'The program failed at this request; nothing was written. What went wrong stands in the window where it was started.',
  code: 'bug',
}

/** A disk without room is no bug; it is the owner's to mend. */
export function isDiskFull(error: unknown): boolean {
  return error instanceof Error && ((error as NodeJS.ErrnoException).code === 'ENOSPC' || /disk is full/.test(error.message))
}

export const diskFullProblem: Problem = {
  type: 'about:blank',
  title: 'No room',
  status: 507,
  detail: 'The disk of the data folder is full, so nothing was written; make room on it, then do this again.',
  code: 'disk-full',
}
