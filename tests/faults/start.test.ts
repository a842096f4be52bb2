/** Starting and stopping as an owner does it, and each slip at it. */
import { mkdtemp, readdir, rm } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { freePort, type Program, runStart, startProgram } from '../browser/program'

describe('a started program', () => {
  let program: Program
  beforeAll(async () => {
    program = await startProgram({ demo: true })
  })
  afterAll(() => program?.dispose())

  it('says where it answers and where the work lies', () => {
    expect(program.printed()).toContain(`http://127.0.0.1:${program.port}/`)
    expect(program.printed()).toContain(program.dataFolder)
  })

  it('refuses a second start on its data folder with a sentence', async () => {
    const second = runStart({ THROWMARK_PORT: String(await freePort()), THROWMARK_DATA: program.dataFolder })
    expect(await second.ended).toEqual({ code: 1, signal: null })
    expect(second.printed()).toMatch(/another Throwmark \(process \d+\) is running on this data folder/)
    expect((await fetch(`${program.url}/api/health`)).status).toBe(200)
  })

  it.each(['SIGTERM', 'SIGINT'] as const)('ends with 0 at %s, frees port and folder, and is back within 5 s', async (signal) => {
    const before = await shaftNames(program)
    expect(before).toHaveLength(2)
    expect(await program.stop(signal)).toEqual({ code: 0, signal: null })
    await expect(fetch(program.url)).rejects.toThrow()
    expect(await readdir(program.dataFolder)).not.toContain('throwmark.lock')
    const begun = performance.now()
    await program.restart()
    expect(performance.now() - begun).toBeLessThan(5000)
    expect(await shaftNames(program)).toEqual(before)
  })

  it('keeps all that was answered when it is killed', async () => {
    const id = crypto.randomUUID()
    const post = await fetch(`${program.url}/api/shafts`, {
      method: 'POST',
      body: JSON.stringify({ id, shaft: { id: 'S1', label: 'kept' } }),
    })
    expect(post.status).toBe(201)
    await program.stop('SIGKILL')
    await program.restart()
    expect((await fetch(`${program.url}/api/shafts/${id}`)).status).toBe(200)
  })
})

describe('a start that cannot be', () => {
  let folder: string
  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'throwmark-start-'))
  })
  afterAll(() => rm(folder, { recursive: true, force: true }))

  it.each([
    [{ THROWMARK_HOST: '0.0.0.0' }, /^THROWMARK_HOST: "0\.0\.0\.0" is refused: until there are accounts/],
    [{ THROWMARK_PORT: 'eighty' }, /^THROWMARK_PORT: "eighty" is not a port/],
    [{ THROWMARK_DEMO: 'yes' }, /^THROWMARK_DEMO: "yes" is neither on nor off/],
  ])('for %o ends with 2 and one sentence', async (slip, sentence) => {
    const start = runStart({ THROWMARK_DATA: path.join(folder, 'never'), ...slip } as Record<string, string>)
    expect(await start.ended).toEqual({ code: 2, signal: null })
    expect(start.printed()).toMatch(sentence)
    expect(start.printed().trim().split('\n')).toHaveLength(1)
    expect(await readdir(folder)).not.toContain('never')
  })

  it('for a port that is taken names the setting, and leaves the folder free', async () => {
    const holder = createServer()
    await new Promise<void>((resolve) => holder.listen(0, '127.0.0.1', resolve))
    const { port } = holder.address() as { port: number }
    const data = path.join(folder, 'data')
    const start = runStart({ THROWMARK_PORT: String(port), THROWMARK_DATA: data, THROWMARK_DEMO: 'off' })
    expect(await start.ended).toEqual({ code: 1, signal: null })
    expect(start.printed()).toContain(`Port ${port} is taken by another program; stop that, or set THROWMARK_PORT to a free one.`)
    expect(await readdir(data)).not.toContain('throwmark.lock')
    await new Promise((resolve) => holder.close(resolve))
  })
})

async function shaftNames(program: Program): Promise<string[]> {
  const { shafts } = (await (await fetch(`${program.url}/api/shafts`)).json()) as { shafts: { shaft: { shaft: { id: string } } }[] }
  return shafts.map(({ shaft }) => shaft.shaft.id).sort()
}
