/** The one wrapper that every route goes through: who asks, zod at the door, If-Match, problem documents. */
import type { z } from 'zod'
import { AppError, badInput } from '../model/app-error'
import { schemaFaults } from '../model/schema-faults'
import { readAtMost } from './body'
import type { Endpoint } from './endpoint'
import { bugProblem, diskFullProblem, isDiskFull, problemOf, problemResponse } from './problem'
import { refuseStrangers } from './request-guard'

const largestJsonBytes = 20_000_000

export type Asked<Params extends z.ZodType, Query extends z.ZodType, Body extends z.ZodType> = {
  params: z.output<Params>
  query: z.output<Query>
  body: z.output<Body>
  /** The row's version from If-Match; 0 on routes that take none. */
  version: number
  request: Request
}
type Context = { params: Promise<Record<string, string | string[] | undefined> | undefined> }
export type Route = ((request: Request, context: Context) => Promise<Response>) & { endpoint: Endpoint }

export function route<Params extends z.ZodType, Query extends z.ZodType, Body extends z.ZodType>(
  endpoint: Endpoint<Params, Query, Body>,
  answer: (asked: Asked<Params, Query, Body>) => Promise<Response>,
): Route {
  const handler = async (request: Request, context: Context): Promise<Response> => {
    try {
      refuseStrangers(request)
      const params = parsed(endpoint.params, (await context.params) ?? {}, 'path')
      const query = parsed(endpoint.query, queryOf(request), 'query')
      const version = endpoint.ifMatch ? versionOf(request) : 0
      const body = parsed(endpoint.body, endpoint.rawBody || !takesJson(endpoint) ? undefined : await jsonOf(request), '$')
      return await answer({ params, query, body, version, request })
    } catch (error) {
      if (error instanceof AppError) return problemResponse(problemOf(error))
      console.error(`${endpoint.method} ${endpoint.path}`, error)
      return problemResponse(isDiskFull(error) ? diskFullProblem : bugProblem)
    }
  }
  return Object.assign(handler, { endpoint: endpoint as unknown as Endpoint })
}

/** A JSON answer; with a version it carries the ETag to send back as If-Match. */
export function json(value: unknown, { status = 200, version }: { status?: number; version?: number } = {}): Response {
  const etag = version === undefined ? undefined : { etag: `"${version}"` }
  return new Response(JSON.stringify(value), {
    status,
    headers: { 'content-type': 'application/json', 'cache-control': 'no-store', ...etag },
  })
}

function takesJson(endpoint: { body: z.ZodType }): boolean {
  return !endpoint.body.safeParse(undefined).success
}

/** `place` is `$` for a body; for path and query it stands before the parameter's name. */
function parsed<Schema extends z.ZodType>(schema: Schema, value: unknown, place: '$' | 'path' | 'query'): z.output<Schema> {
  const result = schema.safeParse(value, { reportInput: true })
  if (result.success) return result.data
  const faults = schemaFaults(result.error)
  throw badInput(place === '$' ? faults : faults.map((fault) => ({ ...fault, path: fault.path.replace(/^\$\.?/, `${place} parameter `) })))
}

function queryOf(request: Request): Record<string, string> {
  return Object.fromEntries(new URL(request.url).searchParams)
}

async function jsonOf(request: Request): Promise<unknown> {
  const bytes = await readAtMost(request, largestJsonBytes, 'The request')
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch (error) {
    throw badInput([{ path: '$', fault: `is not JSON (${(error as Error).message})`, remedy: 'send a JSON document in UTF-8' }])
  }
}

function versionOf(request: Request): number {
  const given = request.headers.get('if-match')
  if (given === null) {
    throw new AppError('precondition-required', 'The row’s version is missing; send it as If-Match, such as If-Match: "3".')
  }
  const version = Number(/^(?:W\/)?"?(\d{1,15})"?$/.exec(given.trim())?.[1] ?? Number.NaN)
  if (Number.isInteger(version)) return version
  throw badInput([
    { path: 'header If-Match', fault: `${JSON.stringify(given)} is not a version`, remedy: 'send the number from the ETag, such as "3"' },
  ])
}
