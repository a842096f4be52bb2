/** The one way from the page to the server: zod on every answer, `If-Match` on every write, problem documents (RFC 9457) as data. */
import type { z } from 'zod'
import type { Fault } from '@/lib/model/fault'
import { done, failed, type Result } from '@/lib/model/result'

/** Why a request brought nothing back. The screen writes the sentence: see `failureSentence`. */
export type ApiFailure =
  /** Nothing answered: stopped server, no network, or an answer from something in between. */
  | { kind: 'unreachable' }
  | { kind: 'stale'; detail: string; current: unknown }
  | { kind: 'refused'; status: number; title: string; detail: string; faults: Fault[] }
  | { kind: 'not-understood'; detail: string }

export type ApiRequest = {
  method?: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'
  path: string
  /** Sent as JSON. */
  body?: unknown
  /** Sent as it is: a file, a form. */
  raw?: Blob | FormData
  /** The version this change was made from; becomes `If-Match`. */
  version?: number
  signal?: AbortSignal
}

/**
 * Sends one request and reads its answer.
 * @param schema what the answer must be; an answer that is not is `not-understood`.
 * @returns the parsed answer, or why there is none. Throws only if the caller aborted.
 */
export async function apiRequest<Schema extends z.ZodType>(
  schema: Schema,
  request: ApiRequest,
): Promise<Result<z.output<Schema>, ApiFailure>> {
  const headers = headersFor(request)
  let response: Response
  let text: string
  try {
    response = await fetch(request.path, {
      method: request.method ?? 'GET',
      headers,
      body: request.raw ?? (request.body === undefined ? undefined : JSON.stringify(request.body)),
      signal: request.signal,
      cache: 'no-store',
    })
    text = await response.text()
  } catch (error) {
    if (request.signal?.aborted) throw error
    return failed({ kind: 'unreachable' })
  }
  return readAnswer(schema, response.status, response.headers.get('content-type') ?? '', text)
}

/** The same for a file, with the share sent so far (0..1), which `fetch` cannot tell. */
export function apiUpload<Schema extends z.ZodType>(
  schema: Schema,
  request: ApiRequest & { raw: Blob | FormData; onProgress?: (share: number) => void },
): Promise<Result<z.output<Schema>, ApiFailure>> {
  return new Promise((resolve, reject) => {
    const transfer = new XMLHttpRequest()
    transfer.open(request.method ?? 'POST', request.path)
    for (const [name, value] of Object.entries(headersFor(request))) transfer.setRequestHeader(name, value)
    transfer.upload.onprogress = (event) => {
      if (event.lengthComputable && event.total > 0) request.onProgress?.(event.loaded / event.total)
    }
    transfer.onload = () =>
      resolve(readAnswer(schema, transfer.status, transfer.getResponseHeader('content-type') ?? '', transfer.responseText))
    transfer.onerror = () => resolve(failed({ kind: 'unreachable' }))
    transfer.onabort = () => reject(new DOMException('stopped', 'AbortError'))
    request.signal?.addEventListener('abort', () => transfer.abort(), { once: true })
    transfer.send(request.raw)
  })
}

/** One sentence for a person: place, fault, remedy. Faults are listed apart, with `faultLine`. */
export function failureSentence(failure: ApiFailure): string {
  switch (failure.kind) {
    case 'unreachable':
      return 'The server does not answer. Start it again, or wait; what you typed is still here.'
    case 'stale':
      return failure.detail
    case 'refused':
      return failure.detail || failure.title
    case 'not-understood':
      return `The server answered something this page does not understand (${failure.detail}). Load the page again.`
  }
}

function headersFor(request: ApiRequest): Record<string, string> {
  const headers: Record<string, string> = { accept: 'application/json, application/problem+json' }
  if (request.raw instanceof Blob) headers['content-type'] = request.raw.type || 'application/octet-stream'
  else if (request.raw === undefined && request.body !== undefined) headers['content-type'] = 'application/json'
  if (request.version !== undefined) headers['if-match'] = `"${request.version}"`
  return headers
}

function readAnswer<Schema extends z.ZodType>(
  schema: Schema,
  status: number,
  type: string,
  text: string,
): Result<z.output<Schema>, ApiFailure> {
  const json = parseJson(text)
  if (status >= 200 && status < 300) {
    const parsed = schema.safeParse(json)
    if (parsed.success) return done(parsed.data)
    const issue = parsed.error.issues[0]
    return failed({ kind: 'not-understood', detail: issue ? `${issue.path.join('.') || 'answer'}: ${issue.message}` : 'answer' })
  }
  if (!type.includes('application/problem+json')) {
    // A gateway's page, or a server in the middle of stopping: as good as no answer.
    if (status === 0 || status === 502 || status === 503 || status === 504) return failed({ kind: 'unreachable' })
    return failed({ kind: 'refused', status, title: `Answer ${status}`, detail: '', faults: [] })
  }
  const problem = (typeof json === 'object' && json !== null ? json : {}) as Record<string, unknown>
  const title = typeof problem.title === 'string' ? problem.title : `Answer ${status}`
  const detail = typeof problem.detail === 'string' ? problem.detail : ''
  if (status === 412) return failed({ kind: 'stale', detail: detail || title, current: problem.current })
  return failed({ kind: 'refused', status, title, detail, faults: readFaults(problem.faults) })
}

function readFaults(value: unknown): Fault[] {
  if (!Array.isArray(value)) return []
  return value.flatMap((entry) =>
    typeof entry?.path === 'string' && typeof entry.fault === 'string'
      ? [{ path: entry.path, fault: entry.fault, remedy: typeof entry.remedy === 'string' ? entry.remedy : '' }]
      : [],
  )
}

function parseJson(text: string): unknown {
  if (text === '') return null
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
