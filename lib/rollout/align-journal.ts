/**
 * The fits of a journal's photographs with the angle about the shaft carried from those that show an oil hole or a
 * witness mark to those that do not, wherever two photographs show the same surface.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { Result } from '../model/result'
import { type AlignmentEntry, alignFits } from '../photo/align-fits'
import type { Fit, FitFailure } from '../photo/cylinder-fit'
import type { LensData } from '../photo/lens-priors'
import { alignmentStrip } from './alignment-strip'
import type { Picture } from './picture'

export type FittedPhoto = { photo: Photo; lens: LensData | null; outcome: Result<Fit, FitFailure> }

/** Photographs to compare: fitted well, their slide known. Empty where no one lacks its roll, or none has it to lend. */
export function photosToAlign(photos: readonly FittedPhoto[]): FittedPhoto[] {
  const usable = photos.filter(({ outcome }) => outcome.ok && outcome.value.trusted && outcome.value.slideKnown)
  const known = usable.filter(({ outcome }) => outcome.ok && outcome.value.rollKnown).length
  return known > 0 && known < usable.length ? usable : []
}

/**
 * Fits by photo id, for the photographs whose fit changes. `pictureOf` is asked for one picture at a time, so that only
 * one lies in memory; null leaves that photograph out.
 */
export async function alignJournal(
  journal: Journal,
  photos: readonly FittedPhoto[],
  pictureOf: (photo: Photo) => Promise<Picture | null>,
  onProgress: (done: number, of: number) => void = () => {},
): Promise<Map<string, Fit>> {
  const chosen = photosToAlign(photos)
  const surface = surfaceOf(journal)
  const entries: AlignmentEntry[] = []
  for (const [i, { photo, lens, outcome }] of chosen.entries()) {
    const picture = await pictureOf(photo)
    if (outcome.ok && picture) {
      entries.push({
        photo,
        lens,
        fit: outcome.value,
        strip: alignmentStrip(surface, { picture, camera: outcome.value.camera, ignore: photo.ignore }),
      })
    }
    onProgress(i + 1, chosen.length)
  }
  const { fits, unmatched } = alignFits(journal, entries)
  for (const { photo, fit } of entries)
    if (unmatched.includes(photo.id)) fits.set(photo.id, { ...fit, warnings: [...fit.warnings, matchesNowhere] })
  return fits
}

const matchesNowhere = {
  code: 'matches-nowhere',
  text: 'It shows nothing alike with photographs whose angle about the shaft is known: pick a witness mark in it, or photograph the journal again with each picture overlapping the last by half.',
}
