/** What is made from the sources before the program can run: the database client and the pages. Each only when it must be. */
import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { top } from './bundle.mjs'

const distFolder = process.env.THROWMARK_DIST?.trim() || '.next'
const generated = 'lib/store/generated'

/** Makes the Prisma client where the schema is newer than it. Its engine is not needed for that: the variable keeps it from being fetched. */
export async function makeDatabaseClient() {
  const stamp = path.join(top, generated, 'schema.sha256')
  const wanted = hashOf(['prisma/schema.prisma', 'node_modules/prisma/package.json'])
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return
  const environment = {
    ...process.env,
    PRISMA_SCHEMA_ENGINE_BINARY: path.join(top, 'package.json'),
    PRISMA_HIDE_UPDATE_MESSAGE: '1',
    CHECKPOINT_DISABLE: '1',
  }
  await runNode(['node_modules/prisma/build/index.js', 'generate', '--schema', 'prisma/schema.prisma'], environment)
  writeFileSync(stamp, wanted)
}

/** Builds the pages where anything they are made of changed; waits for another process that is at it. */
export async function buildPages(tell) {
  const stamp = path.join(top, distFolder, 'inputs.sha256')
  const isBuilt = (wanted) => existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted
  if (isBuilt(hashOf(buildInputs()))) return
  const release = await turnToBuild(tell)
  try {
    const wanted = hashOf(buildInputs())
    if (isBuilt(wanted)) return
    tell('Building the pages; this takes about a minute, and only after a change …')
    rmSync(stamp, { force: true })
    await runNode(['node_modules/next/dist/bin/next', 'build'], { ...process.env, NEXT_TELEMETRY_DISABLED: '1', NODE_ENV: 'production' })
    writeFileSync(stamp, wanted)
  } finally {
    release()
  }
}

/** One process builds at a time. The lock of a process that is gone is taken over. */
async function turnToBuild(tell) {
  const lock = path.join(top, 'node_modules', '.cache', 'throwmark-build.lock')
  mkdirSync(path.dirname(lock), { recursive: true })
  for (let told = false; ; told = true) {
    try {
      writeFileSync(lock, String(process.pid), { flag: 'wx' })
      return () => rmSync(lock, { force: true })
    } catch (error) {
      if (error.code !== 'EEXIST') throw error
    }
    if (!isRunning(Number(readFileSync(lock, 'utf8') || process.pid))) rmSync(lock, { force: true })
    else if (!told) tell('Another process is building the pages; waiting for it …')
    await new Promise((resolve) => setTimeout(resolve, 200))
  }
}

function isRunning(pid) {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return error.code === 'EPERM'
  }
}

function buildInputs() {
  const fixed = ['package.json', 'package-lock.json', 'tsconfig.json', 'next.config.js', 'prisma/schema.prisma']
  const folders = ['app', 'components', 'lib', 'public'].filter((folder) => existsSync(path.join(top, folder)))
  return [...fixed, ...folders.flatMap(filesIn)].filter((file) => existsSync(path.join(top, file)))
}

function filesIn(folder) {
  return readdirSync(path.join(top, folder), { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const file = `${folder}/${entry.name}`
      if (file === generated || file === 'lib/cli') return []
      return entry.isDirectory() ? filesIn(file) : [file]
    })
}

function hashOf(files) {
  const hash = createHash('sha256')
  for (const file of files)
    hash
      .update(`${file}\0`)
      .update(readFileSync(path.join(top, file)))
      .update('\0')
  return hash.digest('hex')
}

/** Runs a Node program to its end; what it prints is shown only when it fails. A signal to this process ends it too. */
function runNode(args, env) {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, args, { cwd: top, env, stdio: ['ignore', 'pipe', 'pipe'] })
    const printed = []
    child.stdout.on('data', (chunk) => printed.push(chunk))
    child.stderr.on('data', (chunk) => printed.push(chunk))
    const stop = (signal) => child.kill(signal)
    process.on('SIGINT', stop).on('SIGTERM', stop)
    child.on('error', reject)
    child.on('close', (code, signal) => {
      process.off('SIGINT', stop).off('SIGTERM', stop)
      if (code === 0) resolve()
      else if (signal === 'SIGINT' || signal === 'SIGTERM') process.exit(0)
      else reject(new Error(`${args[0]} ended with ${code ?? signal}:\n${Buffer.concat(printed).toString()}`))
    })
  })
}
