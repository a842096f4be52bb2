/**
 * How long ten photographs of 12 megapixels take to be laid beside each other and solved all the way round, by the command line as a person runs
 * it: `npx tsx tests/bench/all-round.bench.ts`. Wall and processor time of `assess`, start of Node and reading of ten JPEGs included; how far it said
 * to be; and how soon it ends when interrupted.
 */
import { spawn } from 'node:child_process'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import { allRoundJournal } from './all-round-journal'

const top = fileURLToPath(new URL('../../', import.meta.url))
const { folder, width, height } = await allRoundJournal()

type Run = { seconds: number; processorSeconds: number; said: string[]; code: number | null; endedAfterMs: number; answer: string }

/** Interrupted once it has said so many lines of progress. */
function assess(interruptAfter = Number.POSITIVE_INFINITY): Promise<Run> {
  return new Promise((resolve, reject) => {
    const start = performance.now()
    let interrupted = start
    const said: string[] = []
    let answer = ''
    // GNU time is not everywhere: the shell's own tells what its children took
    const child = spawn(
      'bash',
      ['-c', 'TIMEFORMAT="%U %S"; time "$0" "$@"', process.execPath, 'lib/cli/launch.mjs', 'assess', path.join(folder, 'inspection.json')],
      {
        cwd: top,
        detached: true,
      },
    )
    child.stdout.on('data', (bytes) => {
      answer += bytes
    })
    child.stderr.on('data', (bytes) => {
      said.push(...String(bytes).trim().split('\n'))
      if (said.filter((line) => line.includes(' beside each other: ')).length < interruptAfter || interrupted > start) return
      interrupted = performance.now()
      process.kill(-(child.pid as number), 'SIGINT')
    })
    child.on('error', reject)
    child.on('close', (code) => {
      const now = performance.now()
      const [user, system] = (said.at(-1) ?? '').split(' ').map(Number)
      resolve({ seconds: (now - start) / 1000, processorSeconds: user + system, said, code, endedAfterMs: now - interrupted, answer })
    })
  })
}

const whole = await assess()
const progress = whole.said.filter((line) => line.includes(' beside each other: '))
const findings = JSON.parse(whole.answer)
console.log(
  `ten photographs of ${width} x ${height}: ${whole.seconds.toFixed(1)} s, ${whole.processorSeconds.toFixed(1)} s of processors; ` +
    `${findings.photos.filter((photo: { rollKnown: boolean }) => photo.rollKnown).length} of 10 with a known angle; told ${progress.length} times how far it was`,
)
const cut = await assess(3)
console.log(
  `interrupted after three photographs: ended ${cut.endedAfterMs.toFixed(0)} ms later, printed ${cut.answer.length} characters of an answer`,
)
