/**
 * `rollout FILE --journal ID --px-per-mm N --out M.png`: the journal's map from every photograph of it that is trusted and whose roll is known.
 * The picture is written under a temporary name and renamed when whole; what it shows is said as JSON.
 */
import { randomUUID } from 'node:crypto'
import { rename, rm, stat } from 'node:fs/promises'
import path from 'node:path'
import { parseArgs } from 'node:util'
import sharp from 'sharp'
import { type Surface, surfaceOf } from '../journal/surface'
import { AppError, badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import type { Coverage } from '../model/findings'
import type { InspectionMm } from '../model/inspection'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { coverageOf } from '../photo/coverage'
import { type Fit, fitPhoto } from '../photo/cylinder-fit'
import { failureText } from '../photo/fit-failure-text'
import { rollout, type RolloutSize, rolloutSize, type RolloutView } from '../rollout/rollout'
import { uprightPixelsOf } from '../store/previews'
import { type PictureFile, pictureBeside } from './picture-beside'
import { readInspectionFile } from './read-file'

export const rolloutHelp = `throwmark rollout FILE --journal ID --px-per-mm N --out M.png

Unrolls the surface of one journal from all its photographs and writes it as a PNG with alpha: 255 where a photograph shows
the surface, 0 where none does. Rear on top, angle to the right, seen from outside. Width round(2 pi R N), height round(S N) px.
Photographs whose roll is not known, or whose fit is not trusted, are left out and named on standard error.

  FILE             an inspection file, throwmark/inspection@1; its pictures lie beside it
  --journal ID     which journal
  --px-per-mm N    pixels per mm of the surface, such as 10; the map may have up to 100 megapixels
  --out M.png      where to write; an older file of that name is replaced when the new one is whole
`

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

/** @throws AppError bad-input for words and files at fault; Error where no photograph can be rolled out */
export async function rolloutCommand(args: readonly string[], tell: (words: string) => void): Promise<RolloutReport> {
  const { file, journalId, pxPerMm, out } = readArguments(args)
  const inspection = await readInspectionFile(file)
  const journal = journalNamed(inspection, journalId, file)
  const surface = surfaceOf(journal)
  const size = mapSize(surface, pxPerMm)
  await refuseBadPlace(out)
  const { used, leftOut } = await sortPhotos(inspection, journal, path.dirname(file))
  for (const { id, reason } of leftOut) tell(`photo ${JSON.stringify(id)} is left out: ${reason}`)
  if (used.length === 0) throw new Error(`journal ${JSON.stringify(journalId)} has no photograph that can be rolled out; nothing was written.`)
  const views: RolloutView[] = []
  for (const { photo, fit, picture } of used) {
    views.push({ picture: await pixelsOf(picture), camera: fit.camera, ignore: photo.ignore })
  }
  const map = rollout(surface, views, size)
  if (!map) throw new Error('the rollout was cancelled')
  await writeWhole(out, map.rgba, size)
  return {
    journalId,
    out,
    ...size,
    pxPerMm,
    shownShare: shownShare(map.rgba),
    photos: used.map(({ photo, picture }) => ({ id: photo.id, file: picture.name })),
    leftOut,
    coverage: coverageOf(surface, journal.oilHoles, views).coverage,
  }
}

const mostPixels = 100_000_000
/** Longest side that sharp and common viewers take in a PNG (libvips limits dimensions for other writers at 65535). */
const longestSide = 65_000

function readArguments(args: readonly string[]): { file: string; journalId: string; pxPerMm: number; out: string } {
  const { values, positionals } = parsed(args)
  const say = (fault: string, remedy: string) => new AppError('bad-input', `${fault}; ${remedy}.`)
  if (positionals.length !== 1) throw say(`rollout takes one FILE, not ${positionals.length}`, 'see throwmark rollout --help')
  const { journal, 'px-per-mm': density, out } = values
  if (!journal) throw say('--journal is missing', 'name the journal to roll out')
  if (!density) throw say('--px-per-mm is missing', 'give the pixels per mm, such as 10')
  if (!out) throw say('--out is missing', 'name the PNG to write')
  const pxPerMm = Number(density)
  if (!Number.isFinite(pxPerMm) || pxPerMm <= 0) throw say(`--px-per-mm ${JSON.stringify(density)} is not a number above 0`, 'give the pixels per mm, such as 10')
  if (!/\.png$/i.test(out)) throw say(`--out ${JSON.stringify(out)} does not end in .png`, 'the map is written as PNG: name it so')
  return { file: positionals[0], journalId: journal, pxPerMm, out }
}

function parsed(args: readonly string[]) {
  try {
    return parseArgs({
      args: [...args],
      allowPositionals: true,
      options: { journal: { type: 'string' }, 'px-per-mm': { type: 'string' }, out: { type: 'string' } },
    })
  } catch (error) {
    throw new AppError('bad-input', `${error instanceof Error ? error.message : String(error)}; see throwmark rollout --help.`)
  }
}

function journalNamed(inspection: InspectionMm, id: string, file: string): Journal {
  const journal = inspection.journals.find((one) => one.id === id)
  if (journal) return journal
  const known = inspection.journals.map((one) => one.id).join(', ') || 'no journal'
  throw badInput([{ path: `${file}: $.journals`, fault: `there is no journal ${JSON.stringify(id)}`, remedy: `choose one of those in the file: ${known}` }])
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

async function refuseBadPlace(out: string): Promise<void> {
  const folder = path.dirname(path.resolve(out))
  const there = await stat(folder).catch(() => null)
  if (!there?.isDirectory()) throw new AppError('bad-input', `--out ${JSON.stringify(out)}: there is no folder ${folder}; make it, or name another place.`)
  const old = await stat(out).catch(() => null)
  if (old?.isDirectory()) throw new AppError('bad-input', `--out ${JSON.stringify(out)} is a folder; name the PNG to write in it.`)
}

type UsedPhoto = { photo: Photo; fit: Fit; picture: PictureFile }

/** Fits each photograph of the journal; those that cannot be rolled out are left out with a reason. A wrong picture file is refused. */
async function sortPhotos(inspection: InspectionMm, journal: Journal, folder: string) {
  const used: UsedPhoto[] = []
  const leftOut: { id: string; reason: string }[] = []
  for (const [i, photo] of inspection.photos.entries()) {
    if (photo.journalId !== journal.id) continue
    if (photo.file === undefined) {
      leftOut.push({ id: photo.id, reason: 'it names no picture file.' })
      continue
    }
    const picture = await pictureBeside(folder, photo, jsonPath(['photos', i]))
    const fit = fitPhoto(journal, photo, picture.lens)
    const reason = fit.ok ? whyNot(fit.value) : failureText(fit.reason)
    if (fit.ok && reason === null) used.push({ photo, fit: fit.value, picture })
    else leftOut.push({ id: photo.id, reason: reason ?? 'it cannot be fitted.' })
  }
  return { used, leftOut }
}

function whyNot(fit: Fit): string | null {
  if (!fit.rollKnown) return 'its roll about the shaft is not known: pick an oil hole or a witness mark in it.'
  if (fit.trusted) return null
  return `its fit is not trusted: ${fit.warnings.map((warning) => warning.text).join(' ')}`
}

async function pixelsOf(picture: PictureFile) {
  try {
    return await uprightPixelsOf(picture.bytes, picture.mime)
  } catch (error) {
    const why = error instanceof Error ? error.message.split('\n')[0] : String(error)
    throw badInput([{ path: picture.path, fault: `the picture ${JSON.stringify(picture.name)} is damaged or cut off (${why})`, remedy: 'copy it from the camera again' }])
  }
}

function shownShare(rgba: Uint8ClampedArray): number {
  let shown = 0
  for (let i = 3; i < rgba.length; i += 4) if (rgba[i] > 0) shown++
  return (4 * shown) / rgba.length
}

async function writeWhole(out: string, rgba: Uint8ClampedArray, size: RolloutSize): Promise<void> {
  const draft = path.join(path.dirname(out), `.${path.basename(out)}.${randomUUID()}.part`)
  try {
    await sharp(rgba, { raw: { ...size, channels: 4 }, limitInputPixels: mostPixels }).png().toFile(draft)
    await rename(draft, out)
  } catch (error) {
    await rm(draft, { force: true })
    throw error
  }
}
