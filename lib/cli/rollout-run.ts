/**
 * The journal's map from every photograph of it that is trusted and whose roll is known, written as a PNG: under a
 * temporary name, renamed when whole.
 */
import sharp from 'sharp'
import { type Surface, surfaceOf } from '../journal/surface'
import { AppError, badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import type { Coverage } from '../model/findings'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { coverageOf } from '../photo/coverage'
import type { Fit } from '../photo/cylinder-fit'
import { leftOutOf } from '../photo/left-out'
import { photosToRoll } from '../rollout/photos-to-roll'
import { type RolloutSize, rolloutSize } from '../rollout/rollout'
import { type PhotoToRead, rolloutInThreads } from '../store/rollout-threads'
import type { Picture } from '../rollout/picture'
import { alignedFits } from './aligned-fits'
import { CommandFailed } from './command'
import { refuseBadPlace, writeWhole } from './out-file'
import { picturePixels } from './picture-pixels'
import type { InspectionFile } from './read-file'

export type RolloutReport = {
  journalId: string
  out: string
  width: number
  height: number
  pxPerMm: number
  /** Share of the map's pixels that a photograph shows. */
  shownShare: number
  photos: { id: string; file: string }[]
  leftOut: { id: string; reason: string }[]
  /** Share photographed well, by the photographs used. */
  coverage: Coverage
}

/** @throws AppError bad-input; CommandFailed where no photograph can be rolled out */
export async function rolloutOf(
  file: InspectionFile,
  { journalId, pxPerMm, out }: { journalId: string; pxPerMm: number; out: string },
  say: (line: string) => void,
): Promise<RolloutReport> {
  const journal = journalNamed(file, journalId)
  const surface = surfaceOf(journal)
  const size = mapSize(surface, pxPerMm)
  await refuseBadPlace(out, 'PNG')
  const { used, leftOut } = await sortPhotos(file, journal, say)
  for (const { id, reason } of leftOut) say(`photo ${id} is left out: ${reason}`)
  if (used.length === 0) throw new CommandFailed(`journal ${journalId} has no photograph that can be rolled out; nothing was written.`)
  const views = used.map(({ photo, fit, read }): PhotoToRead => ({ read, camera: fit.camera, ignore: leftOutOf(photo, fit) }))
  const map = await rolloutInThreads(surface, views, size, 'bicubic', {
    onProgress: (done, of) => say(`rolling out ${journalId}: ${Math.floor((100 * done) / of)} %`),
  })
  if (!map) throw new Error('the rollout was cancelled')
  await writeWhole(out, (draft) =>
    sharp(map.rgba, { raw: { ...size, channels: 4 }, limitInputPixels: mostPixels })
      .png()
      .toFile(draft),
  )
  return {
    journalId,
    out,
    ...size,
    pxPerMm,
    shownShare: shownShare(map.rgba),
    photos: used.map(({ photo }) => ({ id: photo.id, file: photo.file ?? '' })),
    leftOut,
    coverage: coverageOf(surface, journal.oilHoles, views).coverage,
  }
}

const mostPixels = 100_000_000
/** Longest side that sharp and common viewers take in a PNG (libvips limits dimensions for other writers at 65535). */
const longestSide = 65_000

function journalNamed({ inspection }: InspectionFile, id: string): Journal {
  const journal = inspection.journals.find((one) => one.id === id)
  if (journal) return journal
  const known = inspection.journals.map((one) => one.id).join(', ') || 'none'
  throw badInput([{ path: jsonPath(['journals']), fault: `there is no journal ${JSON.stringify(id)}`, remedy: `name one of: ${known}` }])
}

function mapSize(surface: Surface, pxPerMm: number): RolloutSize {
  const size = rolloutSize(surface, pxPerMm)
  const most = Math.min(
    Math.sqrt(mostPixels / (2 * Math.PI * surface.radius * surface.totalS)),
    longestSide / Math.max(2 * Math.PI * surface.radius, surface.totalS),
  )
  const words = `--px-per-mm ${pxPerMm} gives a map of ${size.width} x ${size.height} px`
  if (size.width < 1 || size.height < 1) throw new AppError('bad-input', `${words}; give more pixels per mm, such as 10.`)
  if (pxPerMm > most) throw new AppError('bad-input', `${words}, more than can be drawn; give at most ${Math.floor(most)}.`)
  return size
}

type UsedPhoto = { photo: Photo; fit: Fit; read: () => Promise<Picture> }

/** The photographs to roll out, whose reading refuses a damaged picture, and the others with a reason. */
async function sortPhotos(file: InspectionFile, journal: Journal, say: (line: string) => void) {
  const { inspection, picture } = file
  const there = new Set<string>()
  for (const photo of inspection.photos) if (photo.journalId === journal.id && (await picture(photo))) there.add(photo.id)
  const { used, leftOut } = photosToRoll(inspection, journal, await alignedFits(file, say, journal.id), (photo) => there.has(photo.id))
  const readable = used.map(({ photo, index, fit }): UsedPhoto => {
    // read again each time, since all files together take as much memory as a picture
    const read = async () => {
      const bytes = await picture(photo)
      if (!bytes)
        throw badInput([{ path: jsonPath(['photos', index, 'file']), fault: `${photo.file} has gone meanwhile`, remedy: 'leave it there' }])
      return picturePixels(photo, index, bytes)
    }
    return { photo, fit, read }
  })
  return { used: readable, leftOut }
}

function shownShare(rgba: Uint8ClampedArray): number {
  let shown = 0
  for (let i = 3; i < rgba.length; i += 4) if (rgba[i] > 0) shown++
  return (4 * shown) / rgba.length
}
