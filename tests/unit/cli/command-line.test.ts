import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import os from 'node:os'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { zipSync } from 'fflate'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { randomCase } from '../../fixtures/render/cases'

const launch = fileURLToPath(new URL('../../../lib/cli/launch.mjs', import.meta.url))
let folder = ''
const at = (name: string) => path.join(folder, name)
const write = (name: string, content: unknown) => {
  writeFileSync(at(name), content instanceof Uint8Array ? content : typeof content === 'string' ? content : JSON.stringify(content))
  return at(name)
}

function throwmark(...args: string[]): { code: number | null; out: string; words: string[] } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [launch, ...args], { encoding: 'utf8', cwd: folder })
  return { code: status, out: stdout, words: stderr.split('\n').filter((line) => line !== '') }
}

const rendered = () => {
  const { inspection } = randomCase(3, { width: 800, height: 600, noisePx: 0.3 })
  return structuredClone(inspection) as unknown as {
    journals: Record<string, unknown>[]
    photos: Record<string, unknown>[]
    marks: Record<string, unknown>[]
  } & Record<string, unknown>
}

beforeAll(async () => {
  folder = mkdtempSync(path.join(os.tmpdir(), 'throwmark-cli-'))
  write('plain.json', rendered())
  write(
    'grey.jpg',
    await sharp({ create: { width: 800, height: 600, channels: 3, background: '#888' } })
      .jpeg()
      .toBuffer(),
  )
  const withPicture = rendered()
  withPicture.photos[0].file = 'grey.jpg'
  write('pictured.json', withPicture)
}, 60_000)
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe('help', () => {
  it('lists every command, exit 0', () => {
    const { code, out, words } = throwmark('--help')
    expect(code).toBe(0)
    expect(words).toEqual([])
    for (const name of ['assess', 'fit', 'rollout', 'propose', 'suggest', 'strip', 'cut', 'compare', 'ring', 'report'])
      expect(out).toContain(`  ${name} `)
  })

  it.each(['assess', 'fit', 'rollout', 'propose', 'suggest', 'strip', 'cut', 'compare', 'ring', 'report'])('%s --help, exit 0', (name) => {
    const { code, out } = throwmark(name, '--help')
    expect(code).toBe(0)
    expect(out).toContain(`throwmark ${name}`)
  })
})

describe('a call that cannot be understood: exit 2, one line, nothing on standard output', () => {
  it.each([
    ['no command', [], 'COMMAND'],
    ['an unknown command', ['measure'], 'there is no command "measure"'],
    ['an unknown option', ['assess', 'plain.json', '--fast'], '--fast'],
    ['no file', ['assess'], '1 file name wanted, 0 given'],
    ['two files', ['assess', 'plain.json', 'plain.json'], '2 given'],
    ['fit without --photo', ['fit', 'plain.json'], '--photo is missing'],
    ['rollout without --out', ['rollout', 'plain.json', '--journal', 'J1', '--px-per-mm', '5'], '--out is missing'],
    [
      'rollout with a resolution that is no number',
      ['rollout', 'plain.json', '--journal', 'J1', '--px-per-mm', 'fine', '--out', 'm.png'],
      '--px-per-mm',
    ],
    [
      'rollout into a folder that is not there',
      ['rollout', 'pictured.json', '--journal', 'J1', '--px-per-mm', '5', '--out', 'no/m.png'],
      'no folder',
    ],
    [
      'rollout of an unknown journal',
      ['rollout', 'pictured.json', '--journal', 'J9', '--px-per-mm', '5', '--out', 'm.png'],
      'there is no journal "J9"',
    ],
    ['fit of an unknown photo', ['fit', 'plain.json', '--photo', 'ph9'], 'there is no photo "ph9"'],
  ])('%s', (_, args, words) => {
    const told = throwmark(...args)
    expect(told.code).toBe(2)
    expect(told.out).toBe('')
    expect(told.words.join('\n')).toContain(words)
  })
})

describe('bad input: exit 2, file: $.json.path: what; remedy, nothing on standard output', () => {
  const refused = (name: string): string[] => {
    const told = throwmark('assess', name)
    expect(told.code).toBe(2)
    expect(told.out).toBe('')
    for (const line of told.words) expect(line).toMatch(/^\S+: .+; .+/)
    return told.words
  }

  it('a file that is not there, a folder, and what is no JSON', () => {
    expect(refused('nowhere.json')[0]).toContain('there is no such file')
    expect(refused('.')[0]).toContain('folder')
    write('text.json', 'not json')
    expect(refused('text.json')[0]).toMatch(/^text\.json: \$: this is not JSON/)
  })

  it.each([
    [['--journal', '-3', '--out', '--px-per-mm', '8'], '--out is given no value'],
    [['--jornal', 'P3'], 'there is no option --jornal'],
    [['--journal', 'J1', '--px-per-mm', '-3', '--out', 'map.png'], '--px-per-mm "-3" is not a number above 0'],
  ])('an option that is none, without a value, or below 0: %j', (options, words) => {
    const said = throwmark('rollout', at('pictured.json'), ...options)
    expect(said.code).toBe(2)
    expect(said.out).toBe('')
    expect(said.words).toHaveLength(1)
    expect(said.words[0]).toContain(words)
  })

  it('one line a fault, each with its path', () => {
    const doc = rendered()
    doc.journals[0].colour = 'blue'
    doc.marks[1].feel = 'rough'
    write('faults.json', doc)
    const words = refused('faults.json')
    expect(words).toHaveLength(2)
    expect(words[0]).toMatch(/^faults\.json: \$\.journals\[0\]\.colour: unknown key; /)
    expect(words[1]).toMatch(/^faults\.json: \$\.marks\[1\]\.feel: /)
  })

  it('a mark whose pixels miss the journal, by name', () => {
    const doc = rendered()
    doc.marks[0].pixels = [(doc.marks[0].pixels as number[][])[0], [2, 2]]
    write('off.json', doc)
    const words = refused('off.json')
    expect(words[0]).toMatch(/^off\.json: \$\.marks\[0\]\.pixels\[1\]: mark "k1" leaves the journal/)
  })

  it('a picture of another size, one cut off, and one that is none', async () => {
    const named = (file: string) => {
      const doc = rendered()
      doc.photos[0].file = file
      write('pic.json', doc)
    }
    write(
      'small.jpg',
      await sharp({ create: { width: 400, height: 600, channels: 3, background: '#888' } })
        .jpeg()
        .toBuffer(),
    )
    named('small.jpg')
    expect(refused('pic.json')[0]).toMatch(/^pic\.json: \$\.photos\[0\]\.width: .*800 x 600.*400 x 600/)
    write('fake.jpg', 'this is no picture at all')
    named('fake.jpg')
    expect(refused('pic.json')[0]).toMatch(/^pic\.json: \$\.photos\[0\]\.file: /)
    write('empty.jpg', '')
    named('empty.jpg')
    expect(refused('pic.json')[0]).toMatch(/^pic\.json: \$\.photos\[0\]\.file: /)
    const noisy = Buffer.from(Array.from({ length: 800 * 600 * 3 }, (_, i) => (i * 7919) % 251))
    const whole = await sharp(noisy, { raw: { width: 800, height: 600, channels: 3 } })
      .jpeg()
      .toBuffer()
    write('cut.jpg', whole.subarray(0, whole.length >> 1))
    named('cut.jpg')
    const told = throwmark('rollout', 'pic.json', '--journal', 'J1', '--px-per-mm', '4', '--out', 'cut.png')
    expect(told.code).toBe(2)
    expect(told.out).toBe('')
    expect(told.words[0]).toMatch(/\$\.photos\[0\]\.file: /)
    expect(() => readFileSync(at('cut.png'))).toThrow()
  })
})

describe('answers: exit 0, JSON on standard output', () => {
  it('assess prints findings, the same from a bundle', () => {
    const { code, out } = throwmark('assess', 'pictured.json')
    expect(code).toBe(0)
    const findings = JSON.parse(out)
    expect(findings.format).toBe('throwmark/findings@1')
    expect(findings.photos[0]).toMatchObject({ id: 'ph1', trusted: true, rollKnown: true, slideKnown: true, k1: 0 })
    expect(findings.marks.map((m: { id: string }) => m.id)).toEqual(['k1', 'k2', 'k3'])
    expect(Object.keys(findings.marks[0].sigma)).toEqual(['angleDeg', 'filletMm', 'oilHoleMm', 'lengthMm'])
    expect(findings.journals[0].coverage.holeRims).not.toBeNull()
    write('bundle.zip', zipSync({ 'inspection.json': readFileSync(at('pictured.json')), 'grey.jpg': readFileSync(at('grey.jpg')) }))
    const bundled = throwmark('assess', 'bundle.zip')
    expect(bundled.code).toBe(0)
    expect(bundled.out).toBe(out)
  })

  it('a picture that is not there is remarked on where the focal length is wanted, and no fault', () => {
    const doc = rendered()
    Object.assign(doc.photos[0], { file: 'gone.jpg', focalPx: null })
    write('gone.json', doc)
    const { code, words } = throwmark('assess', 'gone.json')
    expect(code).toBe(0)
    expect(words.join('\n')).toContain('gone.jpg is not there')
  })

  it('fit prints camera, residuals of every handle, sigmas and what is known', () => {
    const { code, out } = throwmark('fit', 'plain.json', '--photo', 'ph1')
    expect(code).toBe(0)
    const fit = JSON.parse(out)
    expect(fit).toMatchObject({ id: 'ph1', journalId: 'J1', rollKnown: true, slideKnown: true, trusted: true, warnings: [] })
    expect(fit.camera.rotation).toHaveLength(9)
    expect(fit.residuals).toHaveLength(25)
    expect(fit.residuals[0].handle).toBe('$.handles.sides[0][0]')
    expect(Object.keys(fit.sigma)).toEqual(['angleDeg', 'filletMm', 'aroundMm'])
  })

  it('fit without handles: exit 1 and one sentence that says what to add', () => {
    const doc = rendered()
    delete doc.photos[0].handles
    doc.marks = []
    write('bare.json', doc)
    const told = throwmark('fit', 'bare.json', '--photo', 'ph1')
    expect(told).toMatchObject({ code: 1, out: '' })
    expect(told.words).toHaveLength(1)
    expect(told.words[0]).toContain('pick points')
  })

  it('rollout writes a PNG of round(2 pi R N) by round(S N) with alpha', async () => {
    const { code, out } = throwmark('rollout', 'pictured.json', '--journal', 'J1', '--px-per-mm', '3', '--out', 'map.png')
    expect(code).toBe(0)
    const [journal] = rendered().journals as unknown as [
      { diameter: number; width: number; fillets: { front: { radius: number }; rear: { radius: number } } },
    ]
    const ends = journal.fillets.front.radius + journal.fillets.rear.radius
    const meta = await sharp(at('map.png')).metadata()
    expect(meta).toMatchObject({
      width: Math.round(Math.PI * journal.diameter * 3),
      height: Math.round((journal.width - ends + (ends * Math.PI) / 2) * 3),
      channels: 4,
    })
    expect(JSON.parse(out).photos).toEqual([{ id: 'ph1', file: 'grey.jpg' }])
  })

  it('rollout without any picture: exit 1, nothing written', () => {
    const told = throwmark('rollout', 'plain.json', '--journal', 'J1', '--px-per-mm', '3', '--out', 'none.png')
    expect(told).toMatchObject({ code: 1, out: '' })
    expect(() => readFileSync(at('none.png'))).toThrow()
  })
})

describe('propose', () => {
  it('without a picture: exit 2, the place named', () => {
    const told = throwmark('propose', 'plain.json', '--photo', 'ph1')
    expect(told).toMatchObject({ code: 2, out: '' })
    expect(told.words.join(' ')).toContain('$.photos[0].file')
  })
})

describe('commands of a later version', () => {
  it.each([
    ['cut', 'plain.json'],
    ['compare', 'plain.json', 'plain.json'],
    ['ring', 'a.wav'],
    ['report', 'plain.json', '--out', 'r.pdf'],
  ])('%s: exit 1 and one sentence', (...args) => {
    const told = throwmark(...args)
    expect(told).toMatchObject({ code: 1, out: '' })
    expect(told.words).toHaveLength(1)
  })
})
