/** What is exported and imported again is the same to the last digit; what cannot be imported is refused whole, with its path. */
import { randomUUID } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { strToU8, zipSync } from 'fflate'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { assess } from '../../../lib/finding/assess'
import type { ShaftDocument } from '../../../lib/model/rows'
import { database } from '../../../lib/store/database'
import { openExample, seedDemo, untouchedShaftId, workedShaftId } from '../../../lib/store/demo'
import { inspectionOf, lensByPhoto, readDocument } from '../../../lib/store/document'
import { bundleOf, inspectionText } from '../../../lib/store/exports'
import { importShaft } from '../../../lib/store/imports'
import { photoStorage } from '../../../lib/store/photo-storage'
import { removeShaft } from '../../../lib/store/shafts'
import { readArchive } from '../../../lib/store/zip'
import { type KeptData, keptData } from './kept-data'
import { card } from './test-pictures'

const demoFolder = fileURLToPath(new URL('../../../prisma/demo', import.meta.url))
let data: KeptData
beforeAll(async () => {
  data = await keptData()
  await seedDemo(demoFolder)
}, 60_000)
afterAll(() => data.dispose())

const now = new Date('2026-01-02T03:04:05Z')
const bundleBytes = async (document: ShaftDocument) => new Uint8Array(await new Response(bundleOf(document, photoStorage())).arrayBuffer())

describe('the example shaft', () => {
  it('holds what its inspection file holds, to the last digit', async () => {
    const file = JSON.parse(await readFile(path.join(demoFolder, 'inspection.json'), 'utf8'))
    const kept = inspectionOf(await readDocument(workedShaftId))
    expect(kept.photos.map(({ handles }) => handles.sides)).toEqual(
      file.photos.map((photo: { handles: { sides?: unknown } | null }) => photo.handles?.sides ?? [[], []]),
    )
    expect(kept.marks.map(({ pixels, points }) => [pixels, points])).toEqual(
      file.marks.map((mark: { pixels?: unknown; points?: unknown }) => [mark.pixels, mark.points]),
    )
    expect(kept.journals.map(({ diameter, width }) => [diameter, width])).toEqual(
      file.journals.map((journal: { diameter: number; width: number }) => [journal.diameter, journal.width]),
    )
  })

  it('comes with an untouched copy: the same journals and photographs, nothing picked or drawn', async () => {
    const [worked, untouched] = [await readDocument(workedShaftId), await readDocument(untouchedShaftId)]
    expect(untouched.journals.map(({ journal }) => journal)).toEqual(worked.journals.map(({ journal }) => journal))
    expect(untouched.photos.map(({ file }) => file)).toEqual(worked.photos.map(({ file }) => file))
    expect(untouched.photos.every(({ photo }) => photo.handles.rings.length === 0 && photo.handles.sides.flat().length === 0)).toBe(true)
    expect(untouched.marks).toEqual([])
  })

  it('is not doubled by a second seeding', async () => {
    await seedDemo(demoFolder)
    expect(await database().client.shaft.count()).toBe(2)
  })

  it('is put back when it was removed and somebody asks for it', async () => {
    const { version } = (await readDocument(workedShaftId)).shaft
    await removeShaft(workedShaftId, version, now)
    expect(await openExample(demoFolder)).toBe(workedShaftId)
    expect((await readDocument(workedShaftId)).marks.length).toBeGreaterThan(10)
    expect(await openExample(demoFolder)).toBe(workedShaftId)
  })
})

describe('a bundle', () => {
  it('carries every picture byte for byte and gives the same findings to the last digit when it is imported', async () => {
    const document = await readDocument(workedShaftId)
    const bytes = await bundleBytes(document)
    const { files } = readArchive(bytes)
    expect(files.size).toBe(41)
    expect(Buffer.from(files.get('P3-1.jpg') as Uint8Array)).toEqual(await readFile(path.join(demoFolder, 'P3-1.jpg')))
    const imported = await importShaft(bytes, randomUUID(), now)
    expect(imported.photosAbsent).toEqual([])
    expect(inspectionText(inspectionOf(imported.document))).toBe(inspectionText(inspectionOf(document)))
    const findings = (of: ShaftDocument) => JSON.stringify(assess(inspectionOf(of), lensByPhoto(of)))
    expect(findings(imported.document)).toBe(findings(document))
  }, 60_000)

  it('may lie in a folder of the archive, and be imported twice under one id', async () => {
    const id = randomUUID()
    const bytes = zipSync({ 'job/inspection.json': strToU8(inspection()), 'job/p.jpg': await card().jpeg().toBuffer() })
    expect((await importShaft(bytes, id, now)).made).toBe(true)
    const again = await importShaft(bytes, id, now)
    expect([again.made, again.photosAbsent]).toEqual([false, []])
    const other = strToU8(inspection({ label: 'another' }))
    await expect(importShaft(other, id, now)).rejects.toMatchObject({ code: 'conflict' })
  })
})

describe('an inspection file alone', () => {
  it('is taken without its pictures, which are named as absent', async () => {
    const { photosAbsent, document } = await importShaft(strToU8(inspection()), randomUUID(), now)
    expect(photosAbsent).toEqual(['ph1'])
    expect(document.photos).toMatchObject([{ file: null, photo: { file: 'p.jpg', width: 64 } }])
  })

  it('in inches is kept in mm', async () => {
    const text = inspection().replace('"units":"mm"', '"units":"in"').replace('"diameter":60', '"diameter":2.25')
    const { document } = await importShaft(strToU8(text), randomUUID(), now)
    expect(document.journals[0]?.journal.diameter).toBeCloseTo(57.15, 9)
  })
})

describe('refused whole', () => {
  const refused = async (bytes: Uint8Array) => {
    const before = await database().client.shaft.count()
    const error = await importShaft(bytes, randomUUID(), now).then(
      () => null,
      (reason) => reason,
    )
    expect(await database().client.shaft.count()).toBe(before)
    return error
  }
  const picture = () => card().jpeg().toBuffer()

  it.each([
    ['a fault in the file', () => strToU8(inspection().replace('"width":30', '"width":-3')), '$.journals[0].width'],
    ['an unknown key', () => strToU8(inspection().replace('"kind":"pin"', '"kind":"pin","colour":"blue"')), '$.journals[0].colour'],
    ['no JSON', () => strToU8('inspection'), '$'],
    ['neither text nor zip', () => new Uint8Array([0xff, 0xfe, 0xff, 1]), '$'],
    ['a bundle without an inspection file', () => zipSync({ 'p.jpg': strToU8('x') }), 'bundle'],
    ['a bundle cut off', () => zipSync({ 'inspection.json': strToU8(inspection()) }).subarray(0, 200), 'bundle'],
    ['a name that leads out', () => zipSync({ 'inspection.json': strToU8(inspection()), '../p.jpg': strToU8('x') }), '"../p.jpg"'],
    ['an absolute name', () => zipSync({ 'inspection.json': strToU8(inspection()), '/etc/p.jpg': strToU8('x') }), '"/etc/p.jpg"'],
    [
      'a name of another system',
      () => zipSync({ 'inspection.json': strToU8(inspection()), 'a\\..\\p.jpg': strToU8('x') }),
      '"a\\\\..\\\\p.jpg"',
    ],
    ['what unpacks to far more', () => zipSync({ 'inspection.json': new Uint8Array(30_000_000) }), 'inspection.json'],
  ])('is %s', async (_name, make, at) => {
    expect(await refused(make())).toMatchObject({ code: 'bad-input', path: at })
  })

  it('is a bundle with one picture that is none', async () => {
    const bytes = zipSync({ 'inspection.json': strToU8(inspection()), 'p.jpg': strToU8('no picture') })
    expect(await refused(bytes)).toMatchObject({ code: 'unsupported-picture' })
  })

  it('is a bundle whose picture has another size than was said', async () => {
    const text = inspection().replace('"width":64', '"width":640')
    expect(await refused(zipSync({ 'inspection.json': strToU8(text), 'p.jpg': await picture() }))).toMatchObject({
      code: 'bad-input',
      path: '$.photos[0].width',
    })
  })
})

function inspection({ label = 'x' } = {}): string {
  const end = { form: 'tangent', radius: 2.5 }
  const scaled = { front: end, rear: { form: 'step' } }
  return JSON.stringify({
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: { id: 'S1', label },
    journals: [{ id: 'P1', kind: 'pin', diameter: 60, width: 30, fillets: scaled }],
    photos: [{ id: 'ph1', journalId: 'P1', file: 'p.jpg', width: 64, height: 48 }],
  })
}
