/** Where originals and previews lie: content-addressed files behind one small interface, so that a bucket can take the folder's place. */
import { createHash, randomUUID } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { access, constants, mkdir, open, readFile, rename, rm, stat } from 'node:fs/promises'
import path from 'node:path'
import type { Readable } from 'node:stream'
import { readSettings } from './settings'

export type PhotoStorage = {
  /** Keeps the bytes under their sha256 (hex), which it returns; a repeat writes nothing. */
  putOriginal(bytes: Uint8Array): Promise<string>
  hasOriginal(sha256: string): Promise<boolean>
  readOriginal(sha256: string): Promise<Buffer>
  streamOriginal(sha256: string): Readable
  /** A picture made from an original, null where it was not made yet. */
  readDerived(sha256: string, variant: string): Promise<Buffer | null>
  putDerived(sha256: string, variant: string, bytes: Uint8Array): Promise<void>
  /** Rejects when the place cannot be written to. */
  check(): Promise<void>
}

export function photoStorage(): PhotoStorage {
  return folderStorage(readSettings(process.env, process.cwd()).dataFolder)
}

export function folderStorage(dataFolder: string): PhotoStorage {
  const originals = path.join(dataFolder, 'photos')
  const derived = path.join(dataFolder, 'previews')
  const originalFile = (sha256: string) => path.join(originals, sha256.slice(0, 2), sha256)
  const derivedFile = (sha256: string, variant: string) => path.join(derived, sha256.slice(0, 2), `${sha256}-${variant}`)

  return {
    async putOriginal(bytes) {
      const sha256 = createHash('sha256').update(bytes).digest('hex')
      const file = originalFile(sha256)
      if ((await sizeOf(file)) !== bytes.byteLength) await writeDurably(file, bytes)
      return sha256
    },
    async hasOriginal(sha256) {
      return (await sizeOf(originalFile(sha256))) !== null
    },
    readOriginal: (sha256) => readFile(originalFile(sha256)),
    streamOriginal: (sha256) => createReadStream(originalFile(sha256)),
    readDerived: (sha256, variant) => readFile(derivedFile(sha256, variant)).catch(nullIfMissing),
    putDerived: (sha256, variant, bytes) => writeDurably(derivedFile(sha256, variant), bytes),
    async check() {
      await mkdir(originals, { recursive: true })
      await access(originals, constants.R_OK | constants.W_OK)
    },
  }
}

/** Written under a temporary name, flushed, then renamed, the folder flushed too: the final name never holds half a file. */
async function writeDurably(file: string, bytes: Uint8Array): Promise<void> {
  const folder = path.dirname(file)
  await mkdir(folder, { recursive: true })
  const temporary = path.join(folder, `.${randomUUID()}.part`)
  try {
    const handle = await open(temporary, 'wx')
    try {
      await handle.writeFile(bytes)
      await handle.sync()
    } finally {
      await handle.close()
    }
    await rename(temporary, file)
    const parent = await open(folder, 'r')
    await parent.sync().finally(() => parent.close())
  } catch (error) {
    await rm(temporary, { force: true })
    throw error
  }
}

async function sizeOf(file: string): Promise<number | null> {
  const found = await stat(file).catch(nullIfMissing)
  return found?.size ?? null
}

function nullIfMissing(error: NodeJS.ErrnoException): null {
  if (error.code === 'ENOENT') return null
  throw error
}
