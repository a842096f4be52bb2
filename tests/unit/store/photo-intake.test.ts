/** Photographs coming in: kept byte for byte under their sha256, and nothing half-written when one is refused. */
import { createHash, randomUUID } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import path from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { database } from '../../../lib/store/database'
import { readDocument } from '../../../lib/store/document'
import { applyEdits } from '../../../lib/store/edits'
import { attachPicture, takePhoto } from '../../../lib/store/photo-intake'
import { photoStorage } from '../../../lib/store/photo-storage'
import { preview } from '../../../lib/store/previews'
import { benchShaft, pin } from './bench-shaft'
import { type KeptData, keptData } from './kept-data'
import { card, heicCard } from './test-pictures'

let data: KeptData
beforeAll(async () => {
  data = await keptData()
})
afterAll(() => data.dispose())

const now = new Date('2026-01-02T03:04:05Z')

async function filesKept(): Promise<string[]> {
  const found = await readdir(path.join(data.folder, 'photos'), { recursive: true, withFileTypes: true }).catch(() => [])
  return found.filter((file) => file.isFile()).map((file) => file.name)
}

describe('a photograph that comes in', () => {
  it('is kept byte for byte under its sha256, with its own row and size', async () => {
    const { shaftId } = await benchShaft()
    const bytes = await card(6).jpeg().toBuffer()
    const { row, made } = await takePhoto({ shaftId, journalId: 'P1', id: randomUUID(), file: 'C:\\shots\\p1 front.jpg', bytes }, now)
    const sha256 = createHash('sha256').update(bytes).digest('hex')
    expect(made).toBe(true)
    expect(row).toMatchObject({
      photo: { id: 'ph1', journalId: 'P1', file: 'p1 front.jpg', width: 48, height: 64, focalPx: null },
      file: { sha256, bytes: bytes.length, mime: 'image/jpeg', lens: { focal35Mm: 26 } },
    })
    expect(await readFile(path.join(data.folder, 'photos', sha256.slice(0, 2), sha256))).toEqual(bytes)
    expect((await filesKept()).filter((name) => name.endsWith('.part'))).toEqual([])
  })

  it('of a journal that wears a printed strip is searched for it, its lens solved', async () => {
    const { shaftId, journalId } = await benchShaft()
    const strip = { diameter: 57.15, toFront: 'front' as const, frontEdge: null, zeroAngleDeg: null, gapMm: null }
    await applyEdits(shaftId, [{ op: 'update', kind: 'journal', id: journalId, version: 1, value: pin({ strip }) }], now)
    const bytes = await card().png().toBuffer()
    const [worn, bare] = await Promise.all(
      ['P1', 'M1'].map((name) => takePhoto({ shaftId, journalId: name, id: randomUUID(), file: `${name}.png`, bytes }, now)),
    )
    expect(worn.row.photo).toMatchObject({ k1: null, handles: { strip: 'find', rings: [] } })
    expect(bare.row.photo).toMatchObject({ k1: 0, handles: { strip: null } })
  })

  it('is one photo however often the same upload is repeated', async () => {
    const { shaftId } = await benchShaft()
    const incoming = { shaftId, journalId: 'P1', id: randomUUID(), file: 'a.png', bytes: await card().png().toBuffer() }
    await takePhoto(incoming, now)
    expect((await takePhoto(incoming, now)).made).toBe(false)
    expect((await readDocument(shaftId)).photos).toHaveLength(1)
    const other = { ...incoming, bytes: await card().png({ compressionLevel: 1 }).toBuffer() }
    await expect(takePhoto(other, now)).rejects.toMatchObject({ code: 'conflict' })
  })

  it('gets a name and a file name of its own', async () => {
    const { shaftId } = await benchShaft()
    const bytes = await card().webp().toBuffer()
    const take = async () => (await takePhoto({ shaftId, journalId: 'P1', id: randomUUID(), file: 'IMG_1.webp', bytes }, now)).row
    const first = await take()
    await applyEdits(shaftId, [{ op: 'remove', kind: 'photo', id: first.id, version: 1 }], now)
    const [second, third] = [await take(), await take()]
    expect([second, third].map(({ photo }) => [photo.id, photo.file])).toEqual([
      ['ph2', 'IMG_1-2.webp'],
      ['ph3', 'IMG_1-3.webp'],
    ])
  })

  it('leaves nothing behind when it is refused', async () => {
    const { shaftId } = await benchShaft()
    const whole = await card().jpeg().toBuffer()
    const before = [await filesKept(), await database().client.photoFile.count()]
    const take = (file: string, bytes: Uint8Array, journalId = 'P1') =>
      takePhoto({ shaftId, journalId, id: randomUUID(), file, bytes }, now)
    await expect(take('cut.jpg', whole.subarray(0, whole.length - 300))).rejects.toMatchObject({ code: 'unsupported-picture' })
    await expect(take('note.jpg', Buffer.from('no picture'))).rejects.toMatchObject({ code: 'unsupported-picture' })
    const fresh = await card().jpeg({ quality: 33 }).toBuffer()
    await expect(take('p9.jpg', fresh, 'P9')).rejects.toMatchObject({ code: 'bad-input', path: '$.journalId' })
    expect([await filesKept(), await database().client.photoFile.count()]).toEqual(before)
    expect((await readDocument(shaftId)).photos).toEqual([])
  })

  it('may not be said to have another size than its file', async () => {
    const { shaftId } = await benchShaft()
    const { row } = await takePhoto({ shaftId, journalId: 'P1', id: randomUUID(), file: 'a.heic', bytes: await heicCard() }, now)
    const value = { ...row.photo, width: 65 }
    const edit = { op: 'update', kind: 'photo', id: row.id, version: 1, value } as const
    await expect(applyEdits(shaftId, [edit], now)).rejects.toMatchObject({ code: 'bad-input', path: '$.edits[0].value.width' })
  })
})

describe('a picture that comes after its photo', () => {
  it('is taken when it has the size that was said, against the version', async () => {
    const { shaftId } = await benchShaft()
    const id = randomUUID()
    const handles = { sides: [[], []] as [[], []], rings: [], oilHoles: [], clock: [], strip: null }
    const value = { id: 'ph1', journalId: 'P1', file: 'later.jpg', width: 64, height: 48, focalPx: null, k1: 0, handles, ignore: [] }
    await applyEdits(shaftId, [{ op: 'create', kind: 'photo', id, value }], now)
    const bytes = await card().jpeg().toBuffer()
    const attach = (version: number, picture: Uint8Array) => attachPicture({ id, version, shaftId, file: 'later.jpg', bytes: picture }, now)
    await expect(attach(1, await card(6).jpeg().toBuffer())).rejects.toMatchObject({ code: 'bad-input' })
    await expect(attach(7, bytes)).rejects.toMatchObject({ code: 'stale' })
    expect(await attach(1, bytes)).toMatchObject({ version: 2, file: { mime: 'image/jpeg', width: 64 } })
  })
})

describe('a preview', () => {
  it('is made once, upright, never wider than asked for or than the original', async () => {
    const storage = photoStorage()
    const sha256 = await storage.putOriginal(await card(6).jpeg({ quality: 80 }).toBuffer())
    const file = { sha256, mime: 'image/jpeg' } as const
    const made = await preview(storage, file, '320')
    const sharp = (await import('sharp')).default
    expect(await sharp(made).metadata()).toMatchObject({ width: 48, height: 64, format: 'webp' })
    expect(Buffer.from(await preview(storage, file, '320'))).toEqual(Buffer.from(made))
    expect(await sharp(await preview(storage, file, 'full')).metadata()).toMatchObject({ width: 48, height: 64, format: 'jpeg' })
  })

  it('says so when the original is gone', async () => {
    const gone = { sha256: 'f'.repeat(64), mime: 'image/png' } as const
    await expect(preview(photoStorage(), gone, '800')).rejects.toMatchObject({ code: 'not-found' })
  })
})
