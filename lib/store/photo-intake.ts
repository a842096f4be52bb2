/** A picture comes in: looked at, decoded once, kept byte for byte, and only then given a row. */
import { isDeepStrictEqual } from 'node:util'
import { AppError } from '../model/app-error'
import { photoSchema } from '../model/photo'
import type { PhotoRow } from '../model/rows'
import { database, type Transaction, writeShaft } from './database'
import { refuseFaultyShaft } from './document'
import { journalIdByName, journals } from './journals'
import { addRow, staleRow, storedRow } from './member'
import { photoStorage } from './photo-storage'
import { photos, refuseOtherSize, type StoredPhoto } from './photos'
import { decodeWhole, type Picture, readPicture } from './picture-reader'

export type IncomingPhoto = { shaftId: string; journalId: string; id: string; file: string; bytes: Uint8Array }
export type AttachedPicture = { id: string; version: number; shaftId: string; file: string; bytes: Uint8Array }
export type KeptPicture = Picture & { sha256: string; bytes: number }

/**
 * Keeps a picture and adds its photo to a journal (by its name): without handles, its printed strip to be found where the journal wears one. The same upload again is harmless.
 * @throws AppError too-large, unsupported-picture, bad-input, conflict, not-found
 */
export async function takePhoto(incoming: IncomingPhoto, now: Date): Promise<{ row: PhotoRow; made: boolean }> {
  const file = plainFileName(incoming.file)
  const journalRow = await journalIdByName(database().client, incoming.shaftId, incoming.journalId, '$.journalId')
  const picture = await keepPicture(file, incoming.bytes)
  return writeShaft(incoming.shaftId, now, async (tx) => {
    const known = await photos.table(tx).findUnique(incoming.id)
    if (known) return { row: photos.rowOf(sameUpload(known, incoming, picture.sha256)), made: false }
    await recordFile(tx, picture, now)
    const { name, freeFile } = freeNames(await photos.table(tx).findMany({ shaftId: incoming.shaftId }), 'ph', file)
    const { width, height } = picture
    const wearer = await journals.table(tx).findUnique(journalRow)
    // the strip's codes tell the lens's distortion, which hand picks alone would be too few for
    const worn = wearer && journals.documentOf(wearer).strip ? { handles: { strip: 'find' }, k1: null } : {}
    const value = photoSchema.parse({ id: name, journalId: incoming.journalId, file: freeFile, width, height, ...worn })
    const row = { id: incoming.id, shaftId: incoming.shaftId, value, more: { fileSha256: picture.sha256 }, path: '$' }
    await addRow(photos, tx, row, now)
    return { row: photos.rowOf(await storedRow(photos, tx, incoming.id)), made: true }
  })
}

/**
 * Gives a photo the picture that was absent when it was imported, or another copy of it.
 * @throws AppError stale with the row, bad-input when the picture has another size than the photo says
 */
export async function attachPicture(incoming: AttachedPicture, now: Date): Promise<PhotoRow> {
  const { id, version, shaftId, file, bytes } = incoming
  const picture = await keepPicture(plainFileName(file), bytes)
  return writeShaft(shaftId, now, async (tx) => {
    const stored = await storedRow(photos, tx, id)
    refuseOtherSize(picture, photos.documentOf(stored), '$')
    await recordFile(tx, picture, now)
    const { count } = await photos
      .table(tx)
      .updateMany({ id, version, removedAt: null }, { fileSha256: picture.sha256, version: { increment: 1 }, updatedAt: now })
    if (count === 0) throw staleRow('photo', { rows: [{ kind: 'photo', row: photos.rowOf(stored) }] })
    await refuseFaultyShaft(tx, shaftId, () => null)
    return photos.rowOf(await storedRow(photos, tx, id))
  })
}

/** Checks a picture and writes its file; the row that names it comes after. */
export async function keepPicture(file: string, bytes: Uint8Array): Promise<KeptPicture> {
  const picture = await readPicture(file, bytes)
  const { width, height } = await decodeWhole(file, picture, bytes)
  return { ...picture, width, height, sha256: await photoStorage().putOriginal(bytes), bytes: bytes.byteLength }
}

export async function recordFile(tx: Transaction, picture: KeptPicture, now: Date): Promise<void> {
  const { sha256, bytes, mime, width, height, lens } = picture
  await tx.photoFile.upsert({ where: { sha256 }, create: { sha256, bytes, mime, width, height, ...lens, storedAt: now }, update: {} })
}

function sameUpload(known: StoredPhoto, incoming: IncomingPhoto, sha256: string): StoredPhoto {
  const stands = [known.shaftId, known.journal.name, known.fileSha256]
  const comes = [incoming.shaftId, incoming.journalId, sha256]
  if (known.removedAt === null && isDeepStrictEqual(stands, comes)) return known
  throw new AppError('conflict', `The id ${incoming.id} already stands for another photo; make a new id.`, { path: '$.id' })
}

/** The next ph1, ph2, …, never one that a removed row bore, and a file name that no other row of the shaft has. */
export function freeNames(
  all: readonly { name: string; document: string }[],
  prefix: string,
  file: string,
): { name: string; freeFile: string } {
  const numbered = new RegExp(`^${prefix}(\\d{1,9})$`)
  const last = all.reduce((most, { name }) => Math.max(most, Number(numbered.exec(name)?.[1] ?? 0)), 0)
  const taken = new Set(all.map((stored) => (JSON.parse(stored.document) as { file?: string }).file?.toLowerCase()))
  const [, stem, extension] = /^(.*?)(\.[^.]*)?$/.exec(file) as unknown as [string, string, string | undefined]
  let freeFile = file
  for (let copy = 2; taken.has(freeFile.toLowerCase()); copy += 1) freeFile = `${stem}-${copy}${extension ?? ''}`
  return { name: `${prefix}${last + 1}`, freeFile }
}

/** A file name without folders and control characters, short enough for any file system. */
export function plainFileName(file: string): string {
  const bare = file
    .split(/[/\\]/)
    .at(-1)
    ?.replace(/[\p{Cc}\p{Cf}<>:"|?*]/gu, '')
    .replace(/^\.+/, '')
    .trim()
    .slice(-120)
  return bare || 'photo'
}
