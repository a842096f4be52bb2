/** Unsaved writes against a server that answers, stops, comes back, and has newer rows. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import { createSaveQueue, type PendingWrite } from '../../../components/ui/save-queue'

type Call = { method: string; path: string; body: unknown; version: string | null }
let calls: Call[]
let answers: (() => Response | Promise<Response>)[]

beforeEach(() => {
  vi.useFakeTimers()
  calls = []
  answers = []
  vi.stubGlobal('fetch', async (path: string, init: RequestInit) => {
    const headers = init.headers as Record<string, string>
    calls.push({ method: init.method ?? 'GET', path, body: JSON.parse(String(init.body ?? 'null')), version: headers['if-match'] ?? null })
    const answer = answers.shift()
    if (!answer) throw new TypeError('nothing answers')
    return answer()
  })
})
afterEach(() => {
  vi.useRealTimers()
  vi.unstubAllGlobals()
})

const row =
  (version: number, name = 'x') =>
  () =>
    Response.json({ id: 'r', version, thing: { name } })
const stale = (version: number, name: string) => () =>
  new Response(
    JSON.stringify({ title: 'Changed meanwhile', detail: 'The row is newer.', current: { id: 'r', version, thing: { name } } }),
    {
      status: 412,
      headers: { 'content-type': 'application/problem+json' },
    },
  )
const write = (name: string, version: number | null = 1): PendingWrite => ({
  key: 'thing:r',
  label: 'the thing',
  method: 'PUT',
  path: '/api/things/r',
  body: { thing: { name } },
  version,
})

describe('the queue of unsaved writes', () => {
  it('sends each write from the version the last one came back with', async () => {
    answers = [row(2), row(3)]
    const queue = createSaveQueue(() => {})
    queue.put(write('a'))
    await vi.advanceTimersByTimeAsync(10)
    queue.put(write('b'))
    await vi.advanceTimersByTimeAsync(10)
    expect(calls.map((call) => call.version)).toEqual(['"1"', '"2"'])
    expect(queue.status()).toEqual({ waiting: [], unreachable: false, stuck: [] })
  })

  it('keeps the newest body of a row while the server is away, and sends that one alone when it is back', async () => {
    const kept: (readonly PendingWrite[])[] = []
    const queue = createSaveQueue((writes) => kept.push(writes))
    queue.put(write('a'))
    await vi.advanceTimersByTimeAsync(10)
    expect(queue.status().unreachable).toBe(true)
    queue.put(write('b'))
    queue.put(write('c'))
    expect(kept.at(-1)).toEqual([write('c')])
    answers = [row(2)]
    await vi.advanceTimersByTimeAsync(30_000)
    expect(calls.at(-1)?.body).toEqual({ thing: { name: 'c' } })
    expect(queue.status()).toEqual({ waiting: [], unreachable: false, stuck: [] })
    expect(kept.at(-1)).toEqual([])
  })

  it('a change typed while the write before is on its way waits for the answer and its version', async () => {
    let arrive: (response: Response) => void = () => {}
    answers = [() => new Promise((resolve) => (arrive = resolve)), row(3)]
    const queue = createSaveQueue(() => {})
    queue.put(write('a'))
    await vi.advanceTimersByTimeAsync(10)
    queue.put(write('b'))
    await vi.advanceTimersByTimeAsync(10)
    expect(calls).toHaveLength(1)
    arrive(row(2)())
    await vi.advanceTimersByTimeAsync(10)
    expect(calls.map((call) => [call.body, call.version])).toEqual([
      [{ thing: { name: 'a' } }, '"1"'],
      [{ thing: { name: 'b' } }, '"2"'],
    ])
  })

  it('a newer row on the server stops the write, with both versions there, until a person chooses', async () => {
    answers = [stale(5, 'theirs'), row(6)]
    const queue = createSaveQueue(() => {})
    queue.put(write('mine'))
    await vi.advanceTimersByTimeAsync(10)
    expect(queue.status().stuck[0]).toMatchObject({
      write: { body: { thing: { name: 'mine' } } },
      failure: { current: { thing: { name: 'theirs' } } },
    })
    await vi.advanceTimersByTimeAsync(60_000)
    expect(calls).toHaveLength(1)
    queue.keepMine('thing:r')
    await vi.advanceTimersByTimeAsync(10)
    expect(calls[1]).toMatchObject({ version: '"5"', body: { thing: { name: 'mine' } } })
    expect(queue.status().stuck).toEqual([])
  })

  it('theirs is taken by giving up what waits on that row, and nothing else', async () => {
    answers = [stale(5, 'theirs'), row(9)]
    const queue = createSaveQueue(() => {})
    const givenUp = vi.fn()
    queue.onGivenUp(givenUp)
    queue.put(write('mine'))
    queue.put({ ...write('other'), key: 'thing:q', path: '/api/things/q' })
    await vi.advanceTimersByTimeAsync(10)
    queue.keepTheirs('thing:r')
    expect(givenUp).toHaveBeenCalledOnce()
    expect(calls.map((call) => call.path)).toEqual(['/api/things/r', '/api/things/q'])
    expect(queue.status()).toEqual({ waiting: [], unreachable: false, stuck: [] })
  })

  it('a row that already says what was sent counts as saved: only the answer was lost', async () => {
    answers = [stale(2, 'mine')]
    const queue = createSaveQueue(() => {})
    const written = vi.fn()
    queue.onWritten(written)
    queue.put(write('mine'))
    await vi.advanceTimersByTimeAsync(10)
    expect(queue.status()).toEqual({ waiting: [], unreachable: false, stuck: [] })
    expect(written).toHaveBeenCalledWith('thing:r', expect.objectContaining({ version: 2 }))
  })

  it('a refused write is shown with its faults, and the others go on', async () => {
    const refused = () =>
      new Response(JSON.stringify({ title: 'Bad input', detail: 'no', faults: [{ path: '$.a', fault: 'is wrong', remedy: 'mend it' }] }), {
        status: 400,
        headers: { 'content-type': 'application/problem+json' },
      })
    answers = [refused, row(2)]
    const queue = createSaveQueue(() => {})
    queue.put(write('bad'))
    queue.put({ ...write('other'), key: 'thing:q' })
    await vi.advanceTimersByTimeAsync(10)
    expect(queue.status().stuck[0]?.failure).toMatchObject({
      kind: 'refused',
      faults: [{ path: '$.a', fault: 'is wrong', remedy: 'mend it' }],
    })
    expect(queue.status().waiting).toEqual([])
  })

  it('a row made while the server is away is made before it is changed', async () => {
    const queue = createSaveQueue(() => {})
    queue.put({ ...write('made', null), method: 'POST', path: '/api/things' })
    await vi.advanceTimersByTimeAsync(10)
    queue.put(write('changed'))
    answers = [row(1), row(2)]
    await vi.advanceTimersByTimeAsync(30_000)
    expect(calls.slice(-2).map((call) => call.method)).toEqual(['POST', 'PUT'])
    expect(queue.status().waiting).toEqual([])
  })
})
