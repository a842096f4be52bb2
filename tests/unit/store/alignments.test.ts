/** What the server finds once the photographs are laid beside each other is what the command line finds, to the last digit. */
import { execFile } from 'node:child_process'
import { randomUUID } from 'node:crypto'
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { strToU8, zipSync } from 'fflate'
import sharp from 'sharp'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { assess, fitPhotos } from '../../../lib/finding/assess'
import type { ShaftDocument } from '../../../lib/model/rows'
import { fitOfRecord, fitRecordSchema, recordOfFit } from '../../../lib/photo/fit-record'
import { alignmentsOf, wishForAlignment } from '../../../lib/store/alignments'
import { inspectionOf, readDocument } from '../../../lib/store/document'
import { findingsOf } from '../../../lib/store/findings'
import { importShaft } from '../../../lib/store/imports'
import { turnedJournal } from '../../fixtures/render/turns'
import { type KeptData, keptData } from './kept-data'

const run = promisify(execFile)
const top = fileURLToPath(new URL('../../../', import.meta.url))
const now = new Date('2026-01-02T03:04:05Z')
const state = async (document: ShaftDocument) => (await alignmentsOf(document))[0]

/** Three photographs, the hole picked in the first alone; the third overlaps the second. */
const journal = turnedJournal(611, { facingDeg: [0, 45, 90], holesDeg: [-20] })
let data: KeptData
let document: ShaftDocument
let bundle: string

beforeAll(async () => {
  data = await keptData()
  // workers lie in the bundle that a program is started from
  await (await import('../../../lib/cli/bundle.mjs')).importBundled('lib/rollout/alignment-source.ts')
  const files: Record<string, Uint8Array> = { 'inspection.json': strToU8(JSON.stringify(journal.inspection)) }
  for (const [i, photo] of journal.inspection.photos.entries()) {
    const { data: pixels, width, height } = journal.picture(i)
    files[photo.file] = await sharp(pixels, { raw: { width, height, channels: 3 } })
      .png({ compressionLevel: 1 })
      .toBuffer()
  }
  bundle = path.join(data.folder, 'bundle')
  await mkdir(bundle)
  for (const [name, bytes] of Object.entries(files)) await writeFile(path.join(bundle, name), bytes)
  document = (await importShaft(zipSync(files, { level: 0 }), randomUUID(), now)).document
}, 120_000)
afterAll(() => data.dispose())

async function untilReady(of: ShaftDocument) {
  for (;;) {
    const stands = await state(of)
    if (stands.state !== 'working') return stands
    expect(stands.done).toBeLessThanOrEqual(stands.of)
    await new Promise((resolve) => setTimeout(resolve, 200))
  }
}

describe('photographs without a hole', () => {
  it('count as what they tell by themselves until they are laid beside their neighbours; nothing is milder meanwhile', async () => {
    const early = await findingsOf(document)
    expect(early.photos.map(({ rollKnown }) => rollKnown)).toEqual([true, false, false])
    expect(early).toEqual(assess(inspectionOf(document), {}))
    expect((await state(document)).state).toBe('working')
  }, 60_000)

  it('are left as they are where a person stops the work, until they let it go on', async () => {
    const wished = async (wish: 'stop' | 'go-on') => {
      wishForAlignment(document, { journalId: document.journals[0].journal.id, wish })
      return (await state(document)).state
    }
    expect(await wished('stop')).toBe('stopped')
    // the thread has ended by then: nothing is kept behind the person's back
    await new Promise((resolve) => setTimeout(resolve, 1500))
    expect((await state(document)).state).toBe('stopped')
    expect((await findingsOf(document)).photos.map(({ rollKnown }) => rollKnown)).toEqual([true, false, false])
    expect(await wished('go-on')).toBe('working')
    expect(() => wishForAlignment(document, { journalId: 'none', wish: 'stop' })).toThrow('no journal')
  }, 60_000)

  it('are then placed as the command line places them, to the last digit', async () => {
    const stands = await untilReady(document)
    expect([stands.state, stands.detail]).toEqual(['ready', undefined])
    expect(stands.photos?.map(({ photoId }) => photoId)).toEqual(['ph1', 'ph2', 'ph3'])
    const atServer = await findingsOf(document)
    expect(atServer.photos.map(({ rollKnown }) => rollKnown)).toEqual([true, true, true])
    const { stdout } = await run(process.execPath, ['lib/cli/launch.mjs', 'assess', path.join(bundle, 'inspection.json')], { cwd: top })
    expect(JSON.stringify(atServer)).toBe(JSON.stringify(JSON.parse(stdout)))
  }, 180_000)

  it('are laid anew where what is kept is damaged, from the same to the same', async () => {
    const before = await state(document)
    const file = await keptFile()
    await writeFile(file, (await readFile(file, 'utf8')).slice(0, 500))
    expect((await state(document)).state).toBe('working')
    expect(await untilReady(document)).toEqual(before)
  }, 180_000)

  it('are not held to an alignment of other handles', async () => {
    const [row] = document.photos
    const sides = row.photo.handles.sides.map((side, i) => (i === 0 ? side.slice(1) : side)) as [[number, number][], [number, number][]]
    const changed = {
      ...document,
      photos: document.photos.map((one) =>
        one === row ? { ...row, photo: { ...row.photo, handles: { ...row.photo.handles, sides } } } : one,
      ),
    }
    const [was, is] = [await state(document), await state(changed)]
    expect([was.state, is.state]).toEqual(['ready', 'working'])
    expect(is.key).not.toBe(was.key)
    await untilReady(changed)
  }, 180_000)

  it('say why where a picture is gone, and stay without their angle', async () => {
    const gone = {
      ...document,
      photos: document.photos.map((row) => ({ ...row, file: row.file && { ...row.file, sha256: 'ab'.repeat(32) } })),
    }
    const stands = await untilReady(gone)
    expect([stands.state, stands.photos]).toEqual(['failed', undefined])
    expect(stands.detail).toMatch(/photo store/)
    expect((await findingsOf(gone)).photos.map(({ rollKnown }) => rollKnown)).toEqual([true, false, false])
  }, 60_000)

  it('are laid without the one whose picture is gone, which is named; nothing of that is kept', async () => {
    const gone = {
      ...document,
      photos: document.photos.map((row) =>
        row.photo.id === 'ph3' ? { ...row, file: row.file && { ...row.file, sha256: 'cd'.repeat(32) } } : row,
      ),
    }
    const stands = await untilReady(gone)
    expect(stands.state).toBe('ready')
    expect(stands.detail).toMatch(/^ph3: .*photo store/)
    expect((await findingsOf(gone)).photos.map(({ rollKnown }) => rollKnown)).toEqual([true, true, false])
    expect(await readFile(await keptFile(), 'utf8')).not.toContain(stands.key)
  }, 60_000)

  it('of a journal where none knows its angle, or all do, need nothing', async () => {
    const without = { ...document, photos: document.photos.slice(1) }
    expect((await state(without)).state).toBe('not-needed')
    expect((await state({ ...document, photos: document.photos.slice(0, 1) })).state).toBe('not-needed')
  })
})

describe('a fit as JSON', () => {
  it('comes back to the last digit', async () => {
    for (const outcome of fitPhotos(inspectionOf(await readDocument(document.shaft.id)), {}).values()) {
      if (!outcome.ok) throw new Error('no fit')
      const back = fitOfRecord(fitRecordSchema.parse(JSON.parse(JSON.stringify(recordOfFit(outcome.value)))))
      expect(back).toEqual(outcome.value)
    }
  })
})

async function keptFile(): Promise<string> {
  const previews = path.join(data.folder, 'previews')
  const name = (await readdir(previews, { recursive: true })).find((one) => one.endsWith('-alignment.json'))
  if (!name) throw new Error('nothing is kept')
  return path.join(previews, name)
}
