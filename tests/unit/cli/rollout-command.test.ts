import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import sharp from 'sharp'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { CommandFailed } from '../../../lib/cli/command'
import { rolloutCommand } from '../../../lib/cli/rollout-command'
import type { RolloutReport } from '../../../lib/cli/rollout-run'
import { AppError } from '../../../lib/model/app-error'
import { randomCase, type RenderedCase } from '../../fixtures/render/cases'
import { jpegOf, renderPicture } from '../../fixtures/render/picture'

let top: string
let folder: string
let rendered: RenderedCase
let upright: Buffer
let turned: Buffer

beforeAll(async () => {
  top = await mkdtemp(path.join(tmpdir(), 'throwmark-rollout-'))
  rendered = randomCase(3, { width: 1000, height: 750, noisePx: 0.3 })
  const picture = renderPicture(rendered.metal, rendered.camera, rendered.lines, { perPixel: 1 })
  upright = await jpegOf(picture)
  turned = await jpegOf(picture, 6)
}, 60_000)

afterAll(() => rm(top, { recursive: true, force: true }))

beforeEach(async () => {
  folder = path.join(top, `case-${Math.floor(performance.now() * 1000)}`)
  await mkdir(folder)
})

type Document = RenderedCase['inspection'] & { photos: (RenderedCase['inspection']['photos'][number] & { file?: string })[] }

/** Writes the rendered inspection, changed as told, with its picture beside it. */
async function inspectionFile(change: (document: Document) => void = () => undefined, bytes: Uint8Array = upright): Promise<string> {
  const document = structuredClone(rendered.inspection) as Document
  document.photos[0].file = 'ph1.jpg'
  change(document)
  await writeFile(path.join(folder, 'ph1.jpg'), bytes)
  await writeFile(path.join(folder, 'inspection.json'), JSON.stringify(document))
  return path.join(folder, 'inspection.json')
}

async function run(file: string, options: Record<string, string> = {}) {
  const said: string[] = []
  const out = path.join(folder, 'map.png')
  const answer = (await rolloutCommand.run({ files: [file], options: { journal: 'J1', 'px-per-mm': '6', out, ...options } }, (line) =>
    said.push(line),
  )) as RolloutReport
  return { answer, said, out }
}

async function refusal(attempt: Promise<unknown>): Promise<AppError> {
  const error = await attempt.then(
    () => null,
    (thrown) => thrown,
  )
  expect(error).toBeInstanceOf(AppError)
  expect(await readdir(folder)).not.toContain('map.png')
  return error as AppError
}

describe('throwmark rollout', () => {
  it('writes the map as a PNG with alpha and says what it shows', async () => {
    const { answer, said, out } = await run(await inspectionFile())
    const { metal } = rendered
    const { data, info } = await sharp(out).raw().toBuffer({ resolveWithObject: true })
    expect(info).toMatchObject({ width: Math.round(2 * Math.PI * metal.radius * 6), channels: 4, height: answer.height, format: 'raw' })
    expect(answer).toMatchObject({ journalId: 'J1', pxPerMm: 6, photos: [{ id: 'ph1', file: 'ph1.jpg' }], leftOut: [] })
    const alphas = new Set(data.filter((_, i) => i % 4 === 3))
    expect([...alphas].sort()).toEqual([0, 255])
    expect(answer.shownShare).toBeGreaterThan(0.2)
    expect(answer.coverage.cylinder).toBeGreaterThan(0.1)
    expect(answer.coverage.cylinder).toBeLessThan(answer.shownShare)
    expect(said).toEqual(['rolling out J1: 50 %', 'rolling out J1: 100 %'])
    expect(await readdir(folder)).toEqual(expect.arrayContaining(['inspection.json', 'map.png', 'ph1.jpg']))
    expect(await readdir(folder)).toHaveLength(3)
  })

  it('a picture stored turned, with an EXIF orientation, gives the same map', async () => {
    const first = await run(await inspectionFile())
    const plain = await sharp(first.out).removeAlpha().raw().toBuffer()
    const second = await run(await inspectionFile(undefined, turned))
    const other = await sharp(second.out).removeAlpha().raw().toBuffer()
    let difference = 0
    for (let i = 0; i < plain.length; i++) difference += Math.abs(plain[i] - other[i]) / plain.length
    expect(difference).toBeLessThan(1)
  })

  it('names the photographs that it leaves out, and goes on with the others', async () => {
    const file = await inspectionFile((document) => {
      const [whole] = document.photos
      document.photos.push({ ...whole, id: 'no-roll', file: 'grey.jpg', handles: { ...whole.handles, oilHoles: [] } })
      document.photos.push({ ...whole, id: 'gone', file: 'gone.jpg' })
    })
    // nothing to be seen in it by which it could be laid beside another
    await sharp({ create: { width: 1000, height: 750, channels: 3, background: '#808080' } }).toFile(path.join(folder, 'grey.jpg'))
    const { answer, said } = await run(file)
    expect(answer.photos.map(({ id }) => id)).toEqual(['ph1'])
    expect(answer.leftOut.map(({ id }) => id)).toEqual(['no-roll', 'gone'])
    expect(said.join('\n')).toMatch(/photo no-roll is left out: its roll about the shaft is not known: pick an oil hole/)
    expect(said.join('\n')).toMatch(/photo gone is left out: gone\.jpg is not there/)
  })

  it('fails with one sentence, and writes nothing, where no photograph can be rolled out', async () => {
    const file = await inspectionFile((document) => {
      document.photos[0].handles.oilHoles = []
    })
    await expect(run(file)).rejects.toThrow(CommandFailed)
    expect(await readdir(folder)).not.toContain('map.png')
  })

  it('refuses a picture of another size than the file says, with its JSON path', async () => {
    const error = await refusal(
      inspectionFile((document) => {
        document.photos[0].width = 1010
      }).then((file) => run(file)),
    )
    expect(error.path).toBe('$.photos[0].width')
    expect(error.message).toMatch(/1010 x 750.*1000 x 750/)
  })

  it('refuses a picture that is cut off, leaving an older map as it was', async () => {
    const file = await inspectionFile(undefined, upright.subarray(0, upright.length / 2))
    const older = path.join(folder, 'older.png')
    await writeFile(older, 'as it was')
    const error = await refusal(run(file, { out: older }))
    expect(error.path).toBe('$.photos[0].file')
    expect(error.message).toMatch(/damaged or cut off/)
    expect(await readFile(older, 'utf8')).toBe('as it was')
    expect((await readdir(folder)).filter((name) => name.endsWith('.part'))).toEqual([])
  })

  it.each([
    [{ 'px-per-mm': 'ten' }, /"ten" is not a number above 0/],
    [{ 'px-per-mm': '-3' }, /is not a number above 0/],
    [{ 'px-per-mm': 'Infinity' }, /is not a number above 0/],
    [{ 'px-per-mm': '1e6' }, /more than can be drawn; give at most \d+/],
    [{ 'px-per-mm': '0.0001' }, /give more pixels per mm/],
    [{ out: '/tmp/map.jpg' }, /does not end in \.png/],
    [{ out: '/no/such/folder/map.png' }, /there is no folder \/no\/such\/folder/],
    [{ journal: 'J9' }, /there is no journal "J9"/],
  ])('refuses %j in words', async (options, words) => {
    const file = await inspectionFile()
    const error = await refusal(run(file, options as Record<string, string>))
    expect(error.message).toMatch(words)
  })
})
