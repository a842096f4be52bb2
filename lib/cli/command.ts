/** What a command of the command line is. */
export type Command = {
  name: string
  /** The line in the list of commands. */
  summary: string
  /** Printed by `--help`. */
  help: string
  options: Record<string, { required: boolean; value: string }>
  /** Names of the positional arguments. */
  files: string[]
  /** The answer for standard output; `say` writes a line to standard error. */
  run(given: { files: string[]; options: Record<string, string> }, say: (line: string) => void): Promise<unknown>
}

/** A command that did what it could and has no answer: exit 1 with one sentence. */
export class CommandFailed extends Error {}
