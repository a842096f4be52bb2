/** `throwmark strip`: the sheet on the disk, and what is refused. */
import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'

const launch = fileURLToPath(new URL('../../../lib/cli/launch.mjs', import.meta.url))
let folder = ''
const throwmark = (...args: string[]) => {
  const { status, stdout, stderr } = spawnSync(process.execPath, [launch, ...args], { encoding: 'utf8', cwd: folder })
  return { code: status, out: stdout, words: stderr }
}

beforeAll(() => {
  folder = mkdtempSync(path.join(os.tmpdir(), 'throwmark-strip-'))
  const fillets = { front: { form: 'tangent', radius: 0.1 }, rear: { form: 'step' } }
  const journal = (id: string, diameter: number) => ({ id, kind: 'pin', diameter, width: 1.2, fillets })
  const journals = [journal('P1', 2.25), journal('P2', 7)]
  writeFileSync(
    path.join(folder, 'shaft.json'),
    JSON.stringify({ format: 'throwmark/inspection@1', units: 'in', shaft: { id: 'S1' }, journals }),
  )
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('the strip command', () => {
  it('writes the sheet and says what is on it', () => {
    const { code, out } = throwmark('strip', 'shaft.json', '--journal', 'P1', '--paper', 'letter', '--out', 's.pdf')
    expect(code).toBe(0)
    expect(JSON.parse(out)).toMatchObject({
      journalId: 'P1',
      paper: 'letter',
      diameterMm: 57.15,
      codes: { firstId: 20, count: 30 },
      pieces: [{ fromMm: 0 }],
    })
    expect(readFileSync(path.join(folder, 's.pdf')).subarray(0, 5).toString()).toBe('%PDF-')
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([])
  })

  it.each([
    [['--journal', 'P9', '--out', 'x.pdf'], /no journal "P9"/],
    [['--journal', 'P2', '--out', 'x.pdf'], /\$\.journals\[1\]\.diameter.*no strip is made for 177\.8 mm/],
    [['--journal', 'P1', '--paper', 'a3', '--out', 'x.pdf'], /give a4 or letter/],
    [['--journal', 'P1', '--out', 'x.png'], /does not end in \.pdf/],
    [['--journal', 'P1', '--out', 'none/x.pdf'], /there is no folder/],
  ] as const)('refuses %j with exit 2', (args, words) => {
    const answer = throwmark('strip', 'shaft.json', ...args)
    expect(answer.code).toBe(2)
    expect(answer.out).toBe('')
    expect(answer.words).toMatch(words)
    expect(existsSync(path.join(folder, 'x.pdf'))).toBe(false)
  })
})
