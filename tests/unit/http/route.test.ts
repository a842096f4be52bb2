/** The one wrapper of every route: checks at the door, and what becomes of each kind of failure. */
import { afterEach, describe, expect, it, vi } from 'vitest'
import { z } from 'zod'
import type { Endpoint } from '../../../lib/http/endpoint'
import { json, route } from '../../../lib/http/route'

const endpoint: Endpoint<
  z.ZodObject<{ id: z.ZodString }>,
  z.ZodObject<{ width: z.ZodOptional<z.ZodEnum<{ a: 'a' }>> }>,
  z.ZodObject<{ size: z.ZodNumber }>
> = {
  method: 'PUT',
  path: '/api/things/{id}',
  summary: '',
  params: z.object({ id: z.string() }),
  query: z.strictObject({ width: z.enum(['a']).optional() }),
  body: z.strictObject({ size: z.number() }),
  ifMatch: true,
  answers: [],
}
const context = { params: Promise.resolve({ id: 'x' }) }
const request = (more: { body?: string; query?: string; headers?: Record<string, string> } = {}) =>
  new Request(`http://localhost/api/things/x${more.query ?? ''}`, {
    method: 'PUT',
    body: more.body ?? '{"size":2}',
    headers: { host: 'localhost', 'if-match': '"4"', ...more.headers },
  })

afterEach(() => vi.restoreAllMocks())

describe('a route', () => {
  it('hands over what was checked, the version too', async () => {
    const handler = route(endpoint, async ({ params, query, body, version }) => json({ params, query, body, version }, { version: 5 }))
    const answer = await handler(request({ query: '?width=a' }), context)
    expect(answer.headers.get('etag')).toBe('"5"')
    expect(await answer.json()).toEqual({ params: { id: 'x' }, query: { width: 'a' }, body: { size: 2 }, version: 4 })
  })

  it.each([
    ['a body of another shape', { body: '{"size":"2"}' }, '$.size'],
    ['an unknown key', { body: '{"size":2,"colour":1}' }, '$.colour'],
    ['a number beyond all numbers', { body: '{"size":1e999}' }, '$.size'],
    ['an unknown parameter', { query: '?colour=a' }, 'query parameter colour'],
    ['a version that is none', { headers: { 'if-match': '*' } }, 'header If-Match'],
  ])('refuses %s before its handler runs', async (_name, more, path) => {
    const run = vi.fn(async () => json({}))
    const answer = await route(endpoint, run)(request(more), context)
    expect(answer.status).toBe(400)
    expect(answer.headers.get('content-type')).toBe('application/problem+json')
    expect(await answer.json()).toMatchObject({ code: 'bad-input', path })
    expect(run).not.toHaveBeenCalled()
  })

  it('answers a bug with a bare 500 that gives nothing away, and writes it to the log', async () => {
    const log = vi.spyOn(console, 'error').mockImplementation(() => undefined)
    const answer = await route(endpoint, async () => {
      throw new Error('secret of the machine')
    })(request(), context)
    expect(answer.status).toBe(500)
    expect(await answer.text()).not.toContain('secret')
    expect(log).toHaveBeenCalledOnce()
  })

  it('says that the disk is full where it is', async () => {
    vi.spyOn(console, 'error').mockImplementation(() => undefined)
    const answer = await route(endpoint, async () => {
      throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' })
    })(request(), context)
    expect(answer.status).toBe(507)
    expect(await answer.json()).toMatchObject({ code: 'disk-full', detail: expect.stringContaining('make room') })
  })
})
