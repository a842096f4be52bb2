/** Candidates from every photograph of a journal that can be rolled out; one picture in memory at a time. */
import { badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import { photosToRoll } from '../rollout/photos-to-roll'
import { lineViewOf } from '../trace/line-view'
import { type Candidate, suggestMarks } from '../trace/suggest'
import { leftOutOf } from '../photo/left-out'
import { alignedFits } from './aligned-fits'
import { CommandFailed } from './command'
import { picturePixels } from './picture-pixels'
import type { InspectionFile } from './read-file'

/** @throws AppError bad-input; CommandFailed where no photograph can be looked at */
export async function suggestionsOf(
  file: InspectionFile,
  journalId: string,
  say: (line: string) => void,
): Promise<{ candidates: Candidate[] }> {
  const { inspection, picture } = file
  const journal = inspection.journals.find((one) => one.id === journalId)
  if (!journal) {
    const known = inspection.journals.map((one) => one.id).join(', ') || 'none'
    throw badInput([
      { path: jsonPath(['journals']), fault: `there is no journal ${JSON.stringify(journalId)}`, remedy: `name one of: ${known}` },
    ])
  }
  const there = new Set<string>()
  for (const photo of inspection.photos) if (photo.journalId === journalId && (await picture(photo)) !== null) there.add(photo.id)
  const { used, leftOut } = photosToRoll(inspection, journal, await alignedFits(file, say, journalId), (photo) => there.has(photo.id))
  for (const { id, reason } of leftOut) say(`photo ${id} is left out: ${reason}`)
  if (used.length === 0) throw new CommandFailed(`journal ${journalId} has no photograph in which marks can be looked for.`)
  const candidates = await suggestMarks(
    journal,
    used.map(({ photo, fit }) => lineViewOf(fit, leftOutOf(photo, fit))),
    async (view) => {
      const { photo, index } = used[view]
      const bytes = await picture(photo)
      return bytes ? picturePixels(photo, index, bytes) : null
    },
  )
  say('What is not suggested may still be there: this is no crack test.')
  return { candidates }
}
