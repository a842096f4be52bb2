/** Which photographs of a journal can be rolled out, and why the others cannot: those that are fitted, trusted and of known roll. */
import type { InspectionMm } from '../model/inspection'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { Result } from '../model/result'
import type { Fit, FitFailure } from '../photo/cylinder-fit'
import { failureText } from '../photo/fit-failure-text'

export type PhotosToRoll = {
  /** `index` is the photo's place in the inspection. */
  used: { photo: Photo; index: number; fit: Fit }[]
  leftOut: { id: string; reason: string }[]
}

/** @param hasPicture whether the photo's picture is there */
export function photosToRoll(
  inspection: InspectionMm,
  journal: Journal,
  fits: ReadonlyMap<string, Result<Fit, FitFailure>>,
  hasPicture: (photo: Photo) => boolean,
): PhotosToRoll {
  const sorted: PhotosToRoll = { used: [], leftOut: [] }
  for (const [index, photo] of inspection.photos.entries()) {
    if (photo.journalId !== journal.id) continue
    if (!hasPicture(photo)) {
      sorted.leftOut.push({ id: photo.id, reason: photo.file === undefined ? 'it names no picture file.' : `${photo.file} is not there.` })
      continue
    }
    const fit = fits.get(photo.id)
    if (!fit) continue
    if (fit.ok && fit.value.rollKnown && fit.value.trusted) sorted.used.push({ photo, index, fit: fit.value })
    else sorted.leftOut.push({ id: photo.id, reason: fit.ok ? whyNot(fit.value) : failureText(fit.reason) })
  }
  return sorted
}

function whyNot(fit: Fit): string {
  if (!fit.rollKnown)
    return 'its roll about the shaft is not known: pick an oil hole or a witness mark in it, or let it overlap one that shows them.'
  return `its fit is not trusted: ${fit.warnings.map((warning) => warning.text).join(' ')}`
}
