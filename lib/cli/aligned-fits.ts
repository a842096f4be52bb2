/** The fits of a file's photographs, the printed strip found where they ask for it, those without a hole or witness mark placed by their neighbours where pictures lie beside the file. */
import type { FitOutcome } from '../finding/assess'
import { fitPhotos } from '../finding/assess'
import { alignJournal, photosToAlign } from '../rollout/align-journal'
import { foundStrips } from './found-strips'
import type { InspectionFile } from './read-file'

/** Restricted to one journal where `journalId` is given. `say` is told how far it is. */
export async function alignedFits(file: InspectionFile, say: (line: string) => void, journalId?: string): Promise<Map<string, FitOutcome>> {
  const { inspection, lensByPhoto, picture } = file
  const wanted =
    journalId === undefined ? inspection : { ...inspection, photos: inspection.photos.filter((p) => p.journalId === journalId) }
  const fits = fitPhotos(wanted, lensByPhoto, await foundStrips(file, wanted))
  for (const journal of inspection.journals) {
    const photos = wanted.photos.flatMap((photo) => {
      const outcome = photo.journalId === journal.id && photo.file !== undefined ? fits.get(photo.id) : undefined
      return outcome ? [{ photo, lens: lensByPhoto[photo.id] ?? null, outcome }] : []
    })
    if (photosToAlign(photos).beside.length === 0) continue
    const outcomes = await alignJournal(
      journal,
      photos,
      async (photo) => {
        const bytes = await picture(photo)
        if (!bytes) return null
        const { picturePixels } = await import('./picture-pixels')
        return picturePixels(photo, inspection.photos.indexOf(photo), bytes)
      },
      (done, of) => say(`laying photographs of ${journal.id} beside each other: ${done} of ${of}`),
    )
    for (const [id, outcome] of outcomes) fits.set(id, outcome)
  }
  return fits
}
