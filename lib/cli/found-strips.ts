/** The printed strip's codes in the pictures of a file, where photographs ask for them to be found. */
import type { InspectionMm } from '../model/inspection'
import type { FoundStrip, FoundStrips } from '../photo/printed-strip-fit'
import type { InspectionFile } from './read-file'

/** Pictures that are not there are left out. @throws AppError bad-input for a damaged picture */
export async function foundStrips({ lensByPhoto, picture }: InspectionFile, wanted: InspectionMm): Promise<FoundStrips> {
  const found = new Map<string, FoundStrip>()
  for (const [index, photo] of wanted.photos.entries()) {
    const journal = wanted.journals.find((one) => one.id === photo.journalId)
    const bytes = journal && photo.handles.strip === 'find' ? await picture(photo) : null
    if (!journal || !bytes) continue
    const { picturePixels } = await import('./picture-pixels')
    const { findStrip, greyOf } = await import('../photo/printed-strip-find')
    found.set(photo.id, findStrip(journal, photo, lensByPhoto[photo.id] ?? null, greyOf(await picturePixels(photo, index, bytes))))
  }
  return found
}
