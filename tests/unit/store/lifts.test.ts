/** Flat lifts: taken in with their picture, changed against their version, gone and back with their journal, and whole through a bundle. */
import { randomUUID } from 'node:crypto'
import { strToU8, unzipSync, zipSync } from 'fflate'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Lift } from '../../../lib/model/lift'
import type { LiftRow } from '../../../lib/model/rows'
import { readDocument } from '../../../lib/store/document'
import { applyEdits } from '../../../lib/store/edits'
import { bundleOf } from '../../../lib/store/exports'
import { importShaft } from '../../../lib/store/imports'
import { takeLift } from '../../../lib/store/lift-intake'
import { readLifts } from '../../../lib/store/lifts'
import { takePhoto } from '../../../lib/store/photo-intake'
import { photoStorage } from '../../../lib/store/photo-storage'
import { createShaft } from '../../../lib/store/shafts'
import { type KeptData, keptData } from './kept-data'
import { card } from './test-pictures'

let data: KeptData
beforeAll(async () => {
  data = await keptData()
})
afterAll(() => data.dispose())

const now = new Date('2026-01-02T03:04:05Z')
const journal = (id: string) => {
  const end = { form: 'tangent' as const, radius: 2.5 }
  return {
    id,
    kind: 'pin' as const,
    diameter: 60,
    width: 30,
    fillets: { front: end, rear: end },
    oilHoles: [],
    coating: { kind: 'unknown' as const, perSide: null },
    overheated: false,
  }
}

async function shaftWithLift() {
  const shaftId = randomUUID()
  const journalRow = randomUUID()
  await createShaft(
    { id: shaftId, shaft: { id: 'S1', label: 'x' }, cut: null, journals: [{ id: journalRow, journal: journal('P1') }] },
    now,
  )
  const bytes = await card().jpeg().toBuffer()
  const incoming = { shaftId, journalId: 'P1', id: randomUUID(), file: 'tape.jpg', bytes }
  const { row } = await takeLift(incoming, now)
  return { shaftId, journalRow, incoming, row, bytes }
}

const tapped = (lift: Lift): Lift => ({
  ...lift,
  kind: 'rubbing',
  shows: 'mirrored',
  thicknessMm: 0.12,
  scalePoints: [
    { pixel: [1.25, 2.5], xMm: 0, yMm: 0 },
    { pixel: [60.125, 3], xMm: 101.6, yMm: 0 },
  ],
  front: { at: 'tangent-line', pixels: [[5, 40]] },
  rear: { at: 27.5, pixels: [[5, 4]] },
  witness: { angleDeg: 90, pixels: [[30.0625, 20]] },
  note: 'over the hole',
})

async function changed(row: LiftRow, lift: Lift): Promise<LiftRow> {
  const [edited] = await applyEdits(row.shaftId, [{ op: 'update', kind: 'lift', id: row.id, version: row.version, value: lift }], now)
  if (edited?.kind !== 'lift') throw new Error('no lift came back')
  return edited.row
}

describe('a flat lift', () => {
  it('comes in with its picture under a name of its own; the same upload again is harmless', async () => {
    const { incoming, row, shaftId } = await shaftWithLift()
    expect(row).toMatchObject({ version: 1, lift: { id: 'l1', journalId: 'P1', file: 'tape.jpg', width: 64, height: 48, scalePoints: [] } })
    expect((await takeLift(incoming, now)).made).toBe(false)
    const second = await takeLift({ ...incoming, id: randomUUID() }, now)
    expect(second.row.lift).toMatchObject({ id: 'l2', file: 'tape-2.jpg' })
    await expect(takeLift({ ...incoming, journalId: 'P9', id: randomUUID() }, now)).rejects.toMatchObject({
      code: 'bad-input',
      path: '$.journalId',
    })
    await expect(takeLift({ ...incoming, id: randomUUID(), bytes: strToU8('none') }, now)).rejects.toMatchObject({
      code: 'unsupported-picture',
    })
    expect(await readLifts(shaftId)).toHaveLength(2)
  })

  it('is changed against its version, and never said to be of another size than its picture', async () => {
    const { row } = await shaftWithLift()
    const newer = await changed(row, tapped(row.lift))
    expect(newer).toMatchObject({ version: 2, lift: tapped(row.lift) })
    await expect(changed(row, row.lift)).rejects.toMatchObject({ code: 'stale', current: { rows: [{ kind: 'lift', row: newer }] } })
    await expect(changed(newer, { ...newer.lift, width: 640 })).rejects.toMatchObject({ code: 'bad-input' })
  })

  it('goes with its journal and comes back with it', async () => {
    const { shaftId, journalRow, row } = await shaftWithLift()
    const gone = await applyEdits(shaftId, [{ op: 'remove', kind: 'journal', id: journalRow, version: 1 }], now)
    expect(gone.map(({ kind }) => kind)).toContain('lift')
    expect(await readLifts(shaftId)).toEqual([])
    await applyEdits(shaftId, [{ op: 'restore', kind: 'journal', id: journalRow, version: 2 }], now)
    expect((await readLifts(shaftId)).map((one) => one.lift)).toEqual([row.lift])
  })
})

describe('in a bundle', () => {
  const bundled = async (shaftId: string) =>
    new Uint8Array(await new Response(bundleOf(await readDocument(shaftId), photoStorage(), await readLifts(shaftId))).arrayBuffer())

  it('nothing of a lift is lost: points to the last digit, picture byte for byte', async () => {
    const { row, shaftId, bytes } = await shaftWithLift()
    await changed(row, tapped(row.lift))
    const bundle = await bundled(shaftId)
    expect(Object.keys(unzipSync(bundle)).sort()).toEqual(['inspection.json', 'lifts.json', 'tape.jpg'])
    const id = randomUUID()
    const imported = await importShaft(bundle, id, now)
    const [back] = await readLifts(imported.document.shaft.id)
    expect(back?.lift).toEqual(tapped(row.lift))
    expect(await photoStorage().readOriginal(back?.file.sha256 ?? '')).toEqual(bytes)
    expect((await importShaft(bundle, id, now)).made).toBe(false)
    expect(await bundled(id)).toHaveLength(bundle.length)
  })

  it('a lift and a photograph of one file name are kept apart', async () => {
    const { shaftId } = await shaftWithLift()
    const other = await card().png().toBuffer()
    await takePhoto({ shaftId, journalId: 'P1', id: randomUUID(), file: 'tape.png', bytes: other }, now)
    const document = await readDocument(shaftId)
    const named = { ...document, photos: document.photos.map((one) => ({ ...one, photo: { ...one.photo, file: 'tape.jpg' } })) }
    const bundle = new Uint8Array(await new Response(bundleOf(named, photoStorage(), await readLifts(shaftId))).arrayBuffer())
    expect(Object.keys(unzipSync(bundle)).sort()).toEqual(['inspection.json', 'lifts.json', 'tape-2.jpg', 'tape.jpg'])
  })

  it.each<[string, (lift: object) => object, string]>([
    ['a picture that is not there', (lift: object) => ({ ...lift, file: 'gone.jpg' }), 'lifts.json $.lifts[0].file'],
    ['a journal that is not there', (lift: object) => ({ ...lift, journalId: 'P7' }), 'lifts.json $.lifts[0].journalId'],
    ['an unknown key', (lift: object) => ({ ...lift, colour: 'blue' }), 'lifts.json $.lifts[0].colour'],
    ['another size', (lift: object) => ({ ...lift, height: 9 }), 'lifts.json $.lifts[0].width'],
  ])('refused whole with its path: %s', async (_name, spoil, path) => {
    const { shaftId } = await shaftWithLift()
    const files = unzipSync(await bundled(shaftId))
    const brought = JSON.parse(new TextDecoder().decode(files['lifts.json'])) as { lifts: object[] }
    const spoiled = strToU8(JSON.stringify({ ...brought, lifts: brought.lifts.map(spoil) }))
    await expect(importShaft(zipSync({ ...files, 'lifts.json': spoiled }), randomUUID(), now)).rejects.toMatchObject({
      code: 'bad-input',
      path,
    })
    await expect(importShaft(zipSync({ ...files, 'lifts.json': strToU8('{') }), randomUUID(), now)).rejects.toMatchObject({
      path: 'lifts.json $',
    })
  })
})
