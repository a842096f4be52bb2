/** `throwmark propose FILE --photo ID`: handles found in a photograph, for a person to accept or reject. */
import { badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import { proposeHandles } from '../photo/propose'
import type { Command } from './command'
import { readInspectionFile } from './read-file'

export const proposeCommand: Command = {
  name: 'propose',
  summary: 'handles found in a photograph, for a person to accept or reject',
  help: `Looks for the journal in one photograph by its sizes alone and prints {"handles": {…}, "trust": 0..1}; the handles have the
form of the file's own. Trust is how often such a proposal is right. Nothing here counts until a person accepts it: handles that
the file already has are not looked at and not changed. Where nothing in the picture tells the ends apart, the front is taken to lie to the
right or below, and standard error says so.`,
  options: { photo: { required: true, value: 'ID' } },
  files: ['FILE'],
  async run({ files, options }, say) {
    const file = await readInspectionFile(files[0])
    const { photos, journals } = file.inspection
    const index = photos.findIndex((photo) => photo.id === options.photo)
    const photo = photos[index]
    const journal = photo && journals.find((one) => one.id === photo.journalId)
    if (!photo || !journal) {
      const known = photos.map(({ id }) => id).join(', ') || 'none'
      throw badInput([
        { path: jsonPath(['photos']), fault: `there is no photo ${JSON.stringify(options.photo)}`, remedy: `name one of: ${known}` },
      ])
    }
    const bytes = await file.picture(photo)
    if (!bytes) {
      const fault = photo.file === undefined ? 'this photo names no file' : `${photo.file} is not there`
      throw badInput([
        { path: jsonPath(['photos', index, 'file']), fault, remedy: 'handles are found in the picture: put it beside the file' },
      ])
    }
    const { picturePixels } = await import('./picture-pixels')
    const picture = await picturePixels(photo, index, bytes)
    const { handles, trust, senseSeen } = proposeHandles(journal, photo, file.lensByPhoto[photo.id] ?? null, picture)
    if (handles.rings.length > 0 && !senseSeen)
      say(`photo ${photo.id}: nothing seen tells the front from the rear; the front is taken to lie to the right or below.`)
    return { handles, trust }
  },
}
