/**
 * The command line: picks the command, prints its answer as JSON on standard output and words on standard error.
 * Exit 0 done, 1 failed, 2 bad input with one line a fault and nothing on standard output.
 */
import { parseArgs } from 'node:util'
import { AppError } from '../model/app-error'
import { faultLine } from '../model/fault'
import { assessCommand } from './assess-command'
import { type Command, CommandFailed } from './command'
import { fitCommand } from './fit-command'
import { laterCommands } from './later-commands'
import { proposeCommand } from './propose-command'
import { rolloutCommand } from './rollout-command'
import { stripCommand } from './strip-command'
import { suggestCommand } from './suggest-command'

const commands: Command[] = [assessCommand, fitCommand, rolloutCommand, proposeCommand, stripCommand, suggestCommand, ...laterCommands]

export async function main(argv: string[]): Promise<void> {
  process.exitCode = await run(argv)
}

async function run(argv: string[]): Promise<number> {
  const [name, ...rest] = argv
  if (name === undefined) {
    process.stderr.write(overview())
    return 2
  }
  if (name === '--help' || name === '-h' || name === 'help') {
    process.stdout.write(overview())
    return 0
  }
  const command = commands.find((c) => c.name === name)
  if (!command) {
    say(`throwmark: there is no command ${JSON.stringify(name)}; one of ${commands.map((c) => c.name).join(', ')}, or --help`)
    return 2
  }
  if (rest.includes('--help') || rest.includes('-h')) {
    process.stdout.write(`throwmark ${usage(command)}\n\n${command.summary}\n\n${command.help}\n`)
    return 0
  }
  const given = readArguments(command, rest)
  if (typeof given === 'string') {
    say(`throwmark ${command.name}: ${given}; use: throwmark ${usage(command)}`)
    return 2
  }
  try {
    const answer = await command.run(given, say)
    await printed(`${JSON.stringify(answer, null, 2)}\n`)
    return 0
  } catch (error) {
    return explain(error, given.files[0] ?? command.name)
  }
}

function explain(error: unknown, file: string): number {
  if (error instanceof CommandFailed) {
    say(error.message)
    return 1
  }
  if (error instanceof AppError) {
    if (error.faults.length > 0) for (const fault of error.faults) say(`${file}: ${faultLine(fault)}`)
    else for (const line of error.message.split('\n')) say(`${file}: ${line}`)
    return 2
  }
  say(error instanceof Error && error.stack ? error.stack : String(error))
  return 1
}

function readArguments(command: Command, rest: string[]): { files: string[]; options: Record<string, string> } | string {
  try {
    const { values, positionals } = parseArgs({
      args: negativesJoined(rest),
      allowPositionals: true,
      options: Object.fromEntries(Object.keys(command.options).map((name) => [name, { type: 'string' as const }])),
    })
    if (positionals.length !== command.files.length)
      return `${command.files.length} file name${command.files.length === 1 ? '' : 's'} wanted, ${positionals.length} given`
    for (const [name, option] of Object.entries(command.options))
      if (option.required && values[name] === undefined) return `--${name} is missing`
    return { files: positionals, options: values as Record<string, string> }
  } catch (error) {
    return wordsOf(error)
  }
}

/** What `parseArgs` found wrong, in this program's words. */
function wordsOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  const flag = /'(-[^\s']*)/.exec(error.message)?.[1]
  const code = 'code' in error ? error.code : null
  if (flag && code === 'ERR_PARSE_ARGS_INVALID_OPTION_VALUE') return `${flag} is given no value`
  if (flag && code === 'ERR_PARSE_ARGS_UNKNOWN_OPTION') return `there is no option ${flag}`
  return error.message.split('\n')[0]
}

/** `--flag -3` as `--flag=-3`, so that a number below 0 reaches the command, which says what it wants instead. */
function negativesJoined(rest: readonly string[]): string[] {
  return rest.flatMap((word, i) => {
    const isNegative = (at: string | undefined) => at !== undefined && /^-[\d.]/.test(at)
    const isFlag = (at: string | undefined) => at !== undefined && /^--[^=]+$/.test(at)
    if (isNegative(word) && isFlag(rest[i - 1])) return []
    return isFlag(word) && isNegative(rest[i + 1]) ? [`${word}=${rest[i + 1]}`] : [word]
  })
}

function usage({ name, files, options }: Command): string {
  const flags = Object.entries(options).map(([flag, { required, value }]) => (required ? `--${flag} ${value}` : `[--${flag} ${value}]`))
  return [name, ...files, ...flags].join(' ')
}

function overview(): string {
  const width = Math.max(...commands.map((c) => c.name.length)) + 2
  const lines = commands.map((c) => `  ${c.name.padEnd(width)}${c.summary}`)
  return `throwmark COMMAND …: maps the marks on a crankshaft's journals and says what their geometry suggests.
It is no crack test and never clears a shaft.

${lines.join('\n')}

throwmark COMMAND --help tells more. Exit 0 done, 1 failed, 2 bad input.
`
}

function say(line: string): void {
  process.stderr.write(`${line}\n`)
}

function printed(text: string): Promise<void> {
  return new Promise((resolve, reject) => process.stdout.write(text, (error) => (error ? reject(error) : resolve())))
}
