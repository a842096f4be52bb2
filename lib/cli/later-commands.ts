/** Commands of the contract that this version does not have yet: known by name, refused with one sentence and exit 1. */
import { type Command, CommandFailed } from './command'

const later: [name: string, summary: string, files: string[], options: string[]][] = [
  ['cut', 'the cut plan from the micrometer readings', ['FILE'], []],
  ['compare', 'which marks went, stayed, grew or are new', ['BEFORE', 'AFTER'], []],
  ['ring', 'what a struck shaft’s recording holds', ['SOUND'], []],
  ['report', 'the customer’s report', ['FILE'], ['out']],
]

export const laterCommands: Command[] = later.map(([name, summary, files, options]) => ({
  name,
  summary: `${summary} (not in this version)`,
  help: 'This command is not in this version.',
  options: Object.fromEntries(options.map((option) => [option, { required: false, value: option.toUpperCase() }])),
  files,
  run: () => Promise.reject(new CommandFailed(`throwmark ${name}: this command is not in this version.`)),
}))
