/** The picture of a flat lift comes in: looked at, decoded once, kept byte for byte, and only then given a row without points. */
import { isDeepStrictEqual } from 'node:util'
import { AppError } from '../model/app-error'
import { liftSchema } from '../model/lift'
import type { LiftRow } from '../model/rows'
import { database, writeShaft } from './database'
import { journalIdByName } from './journals'
import { lifts } from './lifts'
import { addRow, storedRow } from './member'
import { freeNames, type IncomingPhoto, keepPicture, plainFileName, recordFile } from './photo-intake'

/** The same upload again is harmless. @throws AppError too-large, unsupported-picture, bad-input, conflict, not-found */
export async function takeLift(incoming: IncomingPhoto, now: Date): Promise<{ row: LiftRow; made: boolean }> {
  const { id, shaftId, journalId, bytes } = incoming
  const file = plainFileName(incoming.file)
  await journalIdByName(database().client, shaftId, journalId, '$.journalId')
  const picture = await keepPicture(file, bytes)
  return writeShaft(shaftId, now, async (tx) => {
    const table = lifts.table(tx)
    const known = await table.findUnique(id)
    if (known) {
      const stands = [known.shaftId, known.journal.name, known.fileSha256, known.removedAt]
      if (isDeepStrictEqual(stands, [shaftId, journalId, picture.sha256, null])) return { row: lifts.rowOf(known), made: false }
      throw new AppError('conflict', `The id ${id} already stands for another lift; make a new id.`, { path: '$.id' })
    }
    await recordFile(tx, picture, now)
    const { name, freeFile } = freeNames(await table.findMany({ shaftId }), 'l', file)
    const value = liftSchema.parse({ id: name, journalId, file: freeFile, width: picture.width, height: picture.height })
    await addRow(lifts, tx, { id, shaftId, value, more: { fileSha256: picture.sha256 }, path: '$' }, now)
    return { row: lifts.rowOf(await storedRow(lifts, tx, id)), made: true }
  })
}
