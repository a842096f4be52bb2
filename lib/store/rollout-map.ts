/** A kept journal's map as a PNG, drawn on reading by the kernel that the page uses. */
import sharp from 'sharp'
import { surfaceOf } from '../journal/surface'
import { AppError, badInput } from '../model/app-error'
import type { ShaftDocument } from '../model/rows'
import { leftOutOf } from '../photo/left-out'
import { photosToRoll } from '../rollout/photos-to-roll'
import { rolloutSize } from '../rollout/rollout'
import { alignedFits } from './alignments'
import { inspectionOf } from './document'
import type { PhotoStorage } from './photo-storage'
import { uprightPixels } from './previews'
import { type PhotoToRead, rolloutInThreads } from './rollout-threads'

const mostPixels = 60_000_000

/**
 * The map of a journal (by its name) at so many px per mm; alpha is coverage.
 * @returns null where `stopped` answered true meanwhile
 * @throws AppError bad-input for a map too large or too small; conflict, with the reasons, where no photo can be rolled out
 */
export async function rolloutPng(
  document: ShaftDocument,
  journalId: string,
  pxPerMm: number,
  storage: PhotoStorage,
  stopped: () => boolean,
): Promise<Buffer | null> {
  const row = document.journals.find(({ journal }) => journal.id === journalId)
  if (!row) throw new AppError('not-found', `There is no journal named ${JSON.stringify(journalId)}.`)
  const surface = surfaceOf(row.journal)
  const size = rolloutSize(surface, pxPerMm)
  if (size.width * size.height > mostPixels || size.width * size.height === 0) {
    const fault = `${pxPerMm} px per mm gives a map of ${size.width} x ${size.height} px`
    throw badInput([{ path: 'query parameter pxPerMm', fault, remedy: `ask for a map of 1 to ${mostPixels / 1e6} megapixels` }])
  }
  const files = new Map(document.photos.map(({ photo, file }) => [photo.id, file]))
  const inspection = inspectionOf(document)
  const { used, leftOut } = photosToRoll(
    inspection,
    row.journal,
    await alignedFits(document, storage),
    (photo) => files.get(photo.id) !== null,
  )
  if (used.length === 0) {
    const reasons = leftOut.map(({ id, reason }) => `${id}: ${reason}`).join(' ') || 'It has no photographs.'
    throw new AppError('conflict', `No photograph of ${journalId} can be rolled out yet. ${reasons}`)
  }
  const photos = used.flatMap(({ photo, fit }): PhotoToRead[] => {
    const file = files.get(photo.id)
    return file ? [{ camera: fit.camera, ignore: leftOutOf(photo, fit), read: () => uprightPixels(storage, file) }] : []
  })
  const map = await rolloutInThreads(surface, photos, size, 'bicubic', { stopped })
  return (
    map &&
    sharp(map.rgba, { raw: { ...size, channels: 4 } })
      .png()
      .toBuffer()
  )
}
