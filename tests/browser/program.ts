/** The program as a person starts it, in a process and a data folder of its own. */
import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtemp, rm } from 'node:fs/promises'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { fileURLToPath } from 'node:url'

const top = fileURLToPath(new URL('../../', import.meta.url))
const patienceMs = 60_000

export type Ended = { code: number | null; signal: NodeJS.Signals | null }
export type Program = {
  url: string
  port: number
  dataFolder: string
  /** What it printed so far. */
  printed: () => string
  /** Sends SIGTERM and waits for the end. */
  stop: (signal?: NodeJS.Signals) => Promise<Ended>
  /** Starts it again on the same port and data folder, after `stop`. */
  restart: () => Promise<void>
  /** Stops it, if it still runs, and removes the data folder if this made it. */
  dispose: () => Promise<void>
}

/** @param settings environment variables besides port, host and data folder; a data folder given is kept */
export async function startProgram(settings: { demo?: boolean; dataFolder?: string } = {}): Promise<Program> {
  const port = await freePort()
  const dataFolder = settings.dataFolder ?? (await mkdtemp(path.join(tmpdir(), 'throwmark-data-')))
  const url = `http://127.0.0.1:${port}`
  const environment = { THROWMARK_PORT: String(port), THROWMARK_DATA: dataFolder, THROWMARK_DEMO: settings.demo ? 'on' : 'off' }
  let running = runStart(environment)
  const stop = async (signal: NodeJS.Signals = 'SIGTERM') => {
    if (running.child.exitCode === null) running.child.kill(signal)
    return running.ended
  }
  await answers(running, url)
  return {
    url,
    port,
    dataFolder,
    printed: () => running.printed(),
    stop,
    async restart() {
      running = runStart(environment)
      await answers(running, url)
    },
    async dispose() {
      await stop('SIGKILL')
      if (!settings.dataFolder) await rm(dataFolder, { recursive: true, force: true })
    },
  }
}

export type Running = { child: ChildProcess; ended: Promise<Ended>; printed: () => string }

/** Runs `npm start`'s script with these variables; `ended` resolves when it is over, whatever came of it. */
export function runStart(environment: Record<string, string>): Running {
  const child = spawn(process.execPath, ['lib/cli/start.mjs'], {
    cwd: top,
    env: { PATH: process.env.PATH, HOME: process.env.HOME, ...environment } as unknown as NodeJS.ProcessEnv,
    stdio: ['ignore', 'pipe', 'pipe'],
  })
  let printed = ''
  const note = (chunk: Buffer) => {
    printed += chunk.toString()
  }
  child.stdout.on('data', note)
  child.stderr.on('data', note)
  const ended = new Promise<Ended>((resolve) => child.once('close', (code, signal) => resolve({ code, signal })))
  return { child, ended, printed: () => printed }
}

export async function freePort(): Promise<number> {
  const probe = createServer()
  await new Promise<void>((resolve) => probe.listen(0, '127.0.0.1', resolve))
  const { port } = probe.address() as { port: number }
  await new Promise((resolve) => probe.close(resolve))
  return port
}

async function answers(running: Running, url: string): Promise<void> {
  const until = Date.now() + patienceMs
  while (Date.now() < until) {
    if (running.child.exitCode !== null) break
    const health = await fetch(`${url}/api/health`).catch(() => null)
    if (health?.ok) return
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
  running.child.kill('SIGKILL')
  throw new Error(`the program did not get ready:\n${running.printed()}`)
}
