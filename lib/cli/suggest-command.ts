/** `throwmark suggest FILE --journal ID`: marks found in a journal's photographs, for a person to accept or reject. */
import type { Command } from './command'
import { readInspectionFile } from './read-file'

export const suggestCommand: Command = {
  name: 'suggest',
  summary: 'marks found in a journal’s photographs, strongest first, for a person to accept or reject',
  help: `Looks for cracks in all photographs of one journal together and prints candidates on the map, strongest first:
{"candidates": [{"points": [{"angleDeg", "axial"}], "score", "reason"}]}; score between 0 and 1.
The lay of grinding, highlights, stains, fibres, the rims of holes and the journal's edges are meant to be left out; some get through.
Nothing here counts until a person accepts it, and what is not suggested may still be there: it is no crack test.
Photographs whose roll is not known, or whose fit is not trusted, are left out and named on standard error.`,
  options: { journal: { required: true, value: 'ID' } },
  files: ['FILE'],
  async run({ files, options }, say) {
    const file = await readInspectionFile(files[0])
    const { suggestionsOf } = await import('./suggest-run')
    return suggestionsOf(file, options.journal, say)
  },
}
