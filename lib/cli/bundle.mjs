/**
 * TypeScript that Node runs itself is bundled on demand by esbuild, once for each state of the sources: a stamp of every
 * input's size and time decides in a few milliseconds whether the kept bundle still holds.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'

export const top = fileURLToPath(new URL('../../', import.meta.url))
const cache = path.join(top, 'node_modules', '.cache', 'throwmark')

/**
 * Bundles a module of lib, with the worker modules it may start, and imports it.
 * @param {string} entry path from the top of the project, such as `lib/cli/main.ts`
 * @returns {Promise<any>} the module
 */
export async function importBundled(entry) {
  const name = entry.replace(/\.ts$/, '').replaceAll('/', '-')
  const home = path.join(cache, name)
  const stampFile = path.join(home, 'stamp.json')
  if (!isFresh(stampFile)) await bundle(entry, home)
  const { main } = JSON.parse(readFileSync(stampFile, 'utf8'))
  process.env.THROWMARK_BUNDLE = `${pathToFileURL(home)}/`
  return import(pathToFileURL(path.join(home, main)).href)
}

function isFresh(stampFile) {
  if (!existsSync(stampFile)) return false
  const { inputs } = JSON.parse(readFileSync(stampFile, 'utf8'))
  return Object.entries(inputs).every(([file, stamp]) => stampOf(file) === stamp)
}

async function bundle(entry, home) {
  const { build } = await import('esbuild')
  const workers = workerModules(path.join(top, 'lib'))
  const draft = `${home}.${process.pid}`
  rmSync(draft, { recursive: true, force: true })
  const { metafile } = await build({
    absWorkingDir: top,
    entryPoints: [entry, ...workers],
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20.9',
    packages: 'external',
    outdir: draft,
    outbase: 'lib',
    outExtension: { '.js': '.mjs' },
    metafile: true,
    sourcemap: 'linked',
    logLevel: 'error',
  })
  const inputs = Object.fromEntries(Object.keys(metafile.inputs).map((file) => [file, stampOf(file)]))
  const main = path.relative('lib', entry).replace(/\.ts$/, '.mjs')
  writeFileSync(path.join(draft, 'stamp.json'), JSON.stringify({ main, inputs }))
  mkdirSync(cache, { recursive: true })
  rmSync(home, { recursive: true, force: true })
  renameSync(draft, home)
}

function stampOf(file) {
  const found = statSync(path.join(top, file), { throwIfNoEntry: false })
  return found ? `${found.size} ${found.mtimeMs}` : null
}

/** Modules that run in a worker thread are named `*-worker.ts`. */
function workerModules(folder) {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((file) => file.isFile() && file.name.endsWith('-worker.ts'))
    .map((file) => path.relative(top, path.join(file.parentPath ?? file.path, file.name)))
}
