/** The API as another program meets it: every refusal is a problem document (RFC 9457) that says place, fault and remedy. */
import { mkdir, readdir, rename, rm, writeFile } from 'node:fs/promises'
import path from 'node:path'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { type Program, startProgram } from '../browser/program'
import { card } from '../unit/store/test-pictures'

let program: Program
beforeAll(async () => {
  program = await startProgram()
})
afterAll(() => program?.dispose())

type Answer = { status: number; type: string | null; etag: string | null; body: Record<string, unknown> & { code?: string; path?: string } }

async function ask(method: string, where: string, body?: unknown, headers: Record<string, string> = {}): Promise<Answer> {
  const raw = body instanceof Uint8Array || body instanceof FormData || typeof body === 'string'
  const response = await fetch(program.url + where, {
    method,
    headers,
    body: body === undefined ? undefined : raw ? (body as string) : JSON.stringify(body),
  })
  const text = await response.text()
  const type = response.headers.get('content-type')
  return { status: response.status, type, etag: response.headers.get('etag'), body: type?.includes('json') ? JSON.parse(text) : { text } }
}

const end = { form: 'tangent', radius: 2.5 }
const journal = { id: 'P1', kind: 'pin', diameter: 57.15, width: 30, fillets: { front: end, rear: end } }
const points = [
  { angleDeg: 100, axial: 9 },
  { angleDeg: 120, axial: 12 },
]
let shaft: string
let mark: string

beforeEach(async () => {
  shaft = crypto.randomUUID()
  mark = crypto.randomUUID()
  const journals = [{ id: crypto.randomUUID(), journal }]
  expect((await ask('POST', '/api/shafts', { id: shaft, shaft: { id: 'S1', label: 'x' }, journals })).status).toBe(201)
  const made = await ask('POST', `/api/shafts/${shaft}/marks`, { id: mark, mark: { id: 'k1', journalId: 'P1', points } })
  expect([made.status, made.etag]).toEqual([201, '"1"'])
})

function expectProblem(answer: Answer, status: number, code: string): void {
  expect([answer.status, answer.type, answer.body.code]).toEqual([status, 'application/problem+json', code])
  expect(answer.body).toMatchObject({ type: 'about:blank', status, title: expect.any(String), detail: expect.stringMatching(/\S/) })
}

describe('a write of a row', () => {
  const replace = (version?: string, note = 'n') =>
    ask('PUT', `/api/marks/${mark}`, { mark: { id: 'k1', journalId: 'P1', points, note } }, version ? { 'if-match': version } : {})

  it('without its version is refused with 428', async () => {
    expectProblem(await replace(), 428, 'precondition-required')
    expectProblem(await ask('DELETE', `/api/marks/${mark}`), 428, 'precondition-required')
    expectProblem(await ask('DELETE', `/api/shafts/${shaft}`), 428, 'precondition-required')
  })

  it('with an older version is refused with 412 and the row as it stands', async () => {
    expect((await replace('"1"', 'first')).etag).toBe('"2"')
    const stale = await replace('"1"', 'second')
    expectProblem(stale, 412, 'stale')
    expect(stale.body.current).toMatchObject({ id: mark, version: 2, mark: { note: 'first' } })
    expect((await ask('GET', `/api/marks/${mark}`)).body).toMatchObject({ version: 2, mark: { note: 'first' } })
  })

  it('with a version that is none is refused with 400', async () => {
    expectProblem(await replace('newest'), 400, 'bad-input')
  })
})

describe('a body', () => {
  it('that is no JSON, or not in UTF-8, is refused', async () => {
    expectProblem(await ask('POST', '/api/shafts', '{ "id": '), 400, 'bad-input')
    expectProblem(await ask('POST', '/api/shafts', new Uint8Array([0x22, 0xff, 0x22])), 400, 'bad-input')
    expectProblem(await ask('POST', '/api/shafts', ''), 400, 'bad-input')
  })

  it('with a fault is refused with its JSON path', async () => {
    const add = (value: unknown) => ask('POST', `/api/shafts/${shaft}/journals`, { id: crypto.randomUUID(), journal: value })
    const absurd = await add({ ...journal, id: 'P2', diameter: -57 })
    expectProblem(absurd, 400, 'bad-input')
    expect(absurd.body.path).toBe('$.journal.diameter')
    expect((await add({ ...journal, id: 'P2', colour: 'blue' })).body.path).toBe('$.journal.colour')
    expect((await add({ ...journal, id: 'P2', width: 4 })).body.path).toBe('$.journal.width')
    expectProblem(await add(journal), 409, 'conflict')
  })

  it('larger than what is taken is refused with 413', async () => {
    expectProblem(await ask('POST', '/api/shafts', `"${'x'.repeat(20_000_001)}"`), 413, 'too-large')
  })
})

describe('what is not there', () => {
  it('is said to be not there', async () => {
    expectProblem(await ask('GET', `/api/shafts/${crypto.randomUUID()}`), 404, 'not-found')
    expectProblem(
      await ask('PUT', `/api/marks/${crypto.randomUUID()}`, { mark: { id: 'k', journalId: 'P1', points } }, { 'if-match': '"1"' }),
      404,
      'not-found',
    )
    expectProblem(await ask('GET', '/api/cranks'), 404, 'not-found')
    expectProblem(await ask('GET', '/api/shafts/S1'), 400, 'bad-input')
  })
})

describe('a page of another site', () => {
  it('may not write', async () => {
    const body = { id: crypto.randomUUID(), shaft: { id: 'S2' } }
    expectProblem(await ask('POST', '/api/shafts', body, { origin: 'http://evil.example' }), 403, 'forbidden')
    expectProblem(await ask('POST', '/api/shafts', body, { 'sec-fetch-site': 'cross-site' }), 403, 'forbidden')
    expect((await ask('GET', `/api/shafts/${body.id}`)).status).toBe(404)
  })
})

describe('one gesture', () => {
  it('is written whole or not at all', async () => {
    const create = { op: 'create', kind: 'mark', id: crypto.randomUUID(), value: { id: 'k2', journalId: 'P1', points } }
    const stale = { op: 'remove', kind: 'mark', id: mark, version: 9 }
    const refused = await ask('POST', `/api/shafts/${shaft}/edits`, { edits: [create, stale] })
    expectProblem(refused, 412, 'stale')
    expect(refused.body.current).toMatchObject({ rows: [{ kind: 'mark', row: { id: mark, version: 1 } }] })
    expect(((await ask('GET', `/api/shafts/${shaft}/marks`)).body.rows as unknown[]).length).toBe(1)
    const written = await ask('POST', `/api/shafts/${shaft}/edits`, { edits: [create, { ...stale, version: 1 }] })
    expect(written.status).toBe(200)
    expect(((await ask('GET', `/api/shafts/${shaft}/marks`)).body.rows as { id: string }[]).map(({ id }) => id)).toEqual([create.id])
  })
})

describe('pictures', () => {
  const upload = (file: string, bytes: Uint8Array) => ask('POST', `/api/shafts/${shaft}/photos?journalId=P1&file=${file}`, bytes)

  it('that are none are refused one by one, the rest of the batch goes on', async () => {
    const whole = await card().jpeg().toBuffer()
    const form = new FormData()
    form.append('journalId', 'P1')
    const parts: [string, Uint8Array][] = [
      ['cut.jpg', whole.subarray(0, whole.length - 250)],
      ['first.jpg', whole],
      ['empty.jpg', new Uint8Array(0)],
      ['note.jpg', Buffer.from('not a picture')],
      ['second.png', await card().png().toBuffer()],
    ]
    for (const [name, bytes] of parts) form.append('photo', new Blob([bytes as Uint8Array<ArrayBuffer>]), name)
    const { status, body } = await ask('POST', `/api/shafts/${shaft}/photos`, form)
    expect(status).toBe(207)
    const results = body.results as { file: string; row?: { photo: { id: string } }; problem?: { code: string; detail: string } }[]
    expect(results.map(({ file, row, problem }) => [file, row?.photo.id ?? problem?.code])).toEqual([
      ['cut.jpg', 'unsupported-picture'],
      ['first.jpg', 'ph1'],
      ['empty.jpg', 'unsupported-picture'],
      ['note.jpg', 'unsupported-picture'],
      ['second.png', 'ph2'],
    ])
    for (const { file, problem } of results) if (problem) expect(problem.detail).toMatch(new RegExp(`^${file}: .+; .+`))
  })

  it('over 60 MB are refused', async () => {
    expectProblem(await upload('huge.jpg', new Uint8Array(60_000_001)), 413, 'too-large')
  })

  it('come back byte for byte, and upright in every preview', async () => {
    const bytes = await card(6).jpeg().toBuffer()
    const { body } = await upload('turned.jpg', bytes)
    expect(body.photo).toMatchObject({ width: 48, height: 64 })
    const original = await fetch(`${program.url}/api/photos/${body.id}/original`)
    expect(original.headers.get('content-type')).toBe('image/jpeg')
    expect(Buffer.from(await original.arrayBuffer())).toEqual(bytes)
    expect((await fetch(`${program.url}/api/photos/${body.id}/preview?width=320`)).headers.get('content-type')).toBe('image/webp')
    expectProblem(await ask('GET', `/api/photos/${body.id}/preview?width=5000`), 400, 'bad-input')
    const known = { 'if-none-match': original.headers.get('etag') ?? '' }
    expect((await ask('GET', `/api/photos/${body.id}/original`, undefined, known)).status).toBe(304)
  })

  it('broken off by a killed program leave neither a row nor half a file', async () => {
    const body = new ReadableStream<Uint8Array>({
      async start(controller) {
        controller.enqueue((await card().png().toBuffer()).subarray(0, 40))
      },
    })
    const where = `${program.url}/api/shafts/${shaft}/photos?journalId=P1&file=a.png`
    const broken = fetch(where, { method: 'POST', body, duplex: 'half' } as RequestInit).catch(() => null)
    await new Promise((resolve) => setTimeout(resolve, 300))
    await program.stop('SIGKILL')
    await broken
    await program.restart()
    expect((await ask('GET', `/api/shafts/${shaft}/photos`)).body.rows).toEqual([])
    const files = await readdir(path.join(program.dataFolder, 'photos'), { recursive: true })
    expect(files.filter((file) => file.endsWith('.part'))).toEqual([])
  })
})

describe('health', () => {
  it('is 503 while the photo store is away, and 200 again when it is back', async () => {
    expect((await ask('GET', '/api/health')).body).toEqual({ ok: true })
    const photos = path.join(program.dataFolder, 'photos')
    await mkdir(photos, { recursive: true })
    await rename(photos, `${photos}.away`)
    await writeFile(photos, 'a file where the folder was')
    const sick = await ask('GET', '/api/health')
    expect([sick.status, sick.type]).toEqual([503, 'application/problem+json'])
    expect(sick.body.detail).toContain('photo store')
    await rm(photos)
    await rename(`${photos}.away`, photos)
    expect((await ask('GET', '/api/health')).body).toEqual({ ok: true })
  })
})
