/**
 * TypeScript that Node runs itself is bundled on demand by esbuild, once for each state of the sources: a stamp of every
 * input's size and time decides in a few milliseconds whether the kept bundle still holds.
 */
import { randomUUID } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'

export const top = fileURLToPath(new URL('../../', import.meta.url))
const cache = path.join(top, 'node_modules', '.cache', 'throwmark')
const oldMs = 7 * 24 * 3600 * 1000

/**
 * Bundles a module of lib, with the worker modules it may start, and imports it.
 * @param {string} entry path from the top of the project, such as `lib/cli/main.ts`
 * @returns {Promise<any>} the module
 */
export async function importBundled(entry) {
  const stampFile = path.join(cache, `${entry.replace(/\.ts$/, '').replaceAll('/', '-')}.json`)
  const kept = keptBundle(stampFile) ?? (await bundle(entry, stampFile))
  process.env.THROWMARK_BUNDLE = `${pathToFileURL(path.join(cache, kept.folder))}/`
  return import(pathToFileURL(path.join(cache, kept.folder, kept.main)).href)
}

/** The bundle that the stamp names, if no input of it changed since. */
function keptBundle(stampFile) {
  if (!existsSync(stampFile)) return null
  const kept = JSON.parse(readFileSync(stampFile, 'utf8'))
  const holds = Object.entries(kept.inputs).every(([file, stamp]) => stampOf(file) === stamp)
  return holds && existsSync(path.join(cache, kept.folder, kept.main)) ? kept : null
}

/** Each bundle lies in a folder of its own: programs that run from an older one, or bundle at the same time, are left in peace. */
async function bundle(entry, stampFile) {
  const { build } = await import('esbuild')
  removeOldBundles()
  const folder = `bundle-${randomUUID()}`
  const { metafile } = await build({
    absWorkingDir: top,
    entryPoints: [entry, ...workerModules(path.join(top, 'lib'))],
    bundle: true,
    splitting: true,
    format: 'esm',
    platform: 'node',
    target: 'node20.9',
    packages: 'external',
    outdir: path.join(cache, folder),
    outbase: 'lib',
    outExtension: { '.js': '.mjs' },
    metafile: true,
    sourcemap: 'linked',
    logLevel: 'error',
  })
  const inputs = Object.fromEntries(Object.keys(metafile.inputs).map((file) => [file, stampOf(file)]))
  const kept = { folder, main: path.relative('lib', entry).replace(/\.ts$/, '.mjs'), inputs }
  const draft = `${stampFile}.${randomUUID()}`
  writeFileSync(draft, JSON.stringify(kept))
  renameSync(draft, stampFile)
  return kept
}

function removeOldBundles() {
  if (!existsSync(cache)) return
  for (const name of readdirSync(cache)) {
    const place = path.join(cache, name)
    if (name.startsWith('bundle-') && Date.now() - statSync(place).mtimeMs > oldMs) rmSync(place, { recursive: true, force: true })
  }
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
