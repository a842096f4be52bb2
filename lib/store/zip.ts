/** Bundles as zip archives: read with their names, sizes and ratio checked before anything is unpacked, written as a stream. */
import { posix } from 'node:path'
import { Readable } from 'node:stream'
import { strFromU8, strToU8, type UnzipFileInfo, unzipSync, Zip, ZipDeflate, ZipPassThrough } from 'fflate'
import { badInput } from '../model/app-error'
import { largestBytes } from './picture-reader'

export const largestBundleBytes = 500_000_000
const largestUnpackedBytes = 1_000_000_000
const mostFiles = 2000
/** Pictures are packed already and text packs about ten times; what unpacks to far more is made to fill a disk. */
const largestRatio = 100

export type Archive = { inspection: string; files: Map<string, Uint8Array> }

export function isZip(bytes: Uint8Array): boolean {
  return bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 0x03 && bytes[3] === 0x04
}

/**
 * Unpacks a bundle. Files are named relative to where `inspection.json` lies, which may be a folder.
 * @throws AppError bad-input
 */
export function readArchive(bytes: Uint8Array): Archive {
  const seen = new Set<string>()
  let unpacked = 0
  const admit = ({ name, size, originalSize }: UnzipFileInfo) => {
    if (name.endsWith('/')) return false
    refuseName(name)
    if (seen.has(name)) throw fault(name, 'stands twice in the bundle', 'keep one of the two')
    seen.add(name)
    unpacked += originalSize
    if (seen.size > mostFiles) throw fault(name, `is one file more than the ${mostFiles} that are taken`, 'split the bundle')
    if (originalSize > largestBytes) throw fault(name, `has more than ${largestBytes / 1e6} MB`, 'save it smaller')
    if (originalSize > 1_000_000 && originalSize > size * largestRatio)
      throw fault(name, 'unpacks to far more than it holds', 'pack the bundle anew')
    if (unpacked > largestUnpackedBytes) throw fault(name, `brings the bundle over ${largestUnpackedBytes / 1e9} GB`, 'split the bundle')
    return true
  }
  const entries = unpack(bytes, admit)
  const main = Object.keys(entries)
    .filter((name) => posix.basename(name) === 'inspection.json')
    .sort((a, b) => a.split('/').length - b.split('/').length)[0]
  if (main === undefined) throw fault('bundle', 'holds no inspection.json', 'export it again, or put the inspection file in')
  const folder = main.slice(0, -'inspection.json'.length)
  const files = new Map(
    Object.entries(entries)
      .filter(([name]) => name !== main && name.startsWith(folder))
      .map(([name, content]) => [name.slice(folder.length), content]),
  )
  return { inspection: strFromU8(entries[main] as Uint8Array), files }
}

/** Whether a name stays inside the bundle wherever it is unpacked. */
export function isPlainName(name: string): boolean {
  if (name === '' || name.length > 240 || /[\\:\p{Cc}]/u.test(name)) return false
  return name.split('/').every((part) => part !== '' && part !== '.' && part !== '..')
}

export type ArchiveFile = { name: string; read: () => Promise<Uint8Array> }

/** A bundle as a stream, one file in memory at a time; pictures are stored, text is packed. */
export function writeArchive(inspection: string, files: readonly ArchiveFile[], mtime: Date): ReadableStream<Uint8Array> {
  return Readable.toWeb(Readable.from(archiveParts(inspection, files, mtime))) as ReadableStream<Uint8Array>
}

async function* archiveParts(inspection: string, files: readonly ArchiveFile[], mtime: Date): AsyncGenerator<Uint8Array> {
  const parts: Uint8Array[] = []
  const zip = new Zip((error, part) => {
    if (error) throw error
    parts.push(part)
  })
  const add = (entry: ZipDeflate | ZipPassThrough, content: Uint8Array) => {
    entry.mtime = mtime
    zip.add(entry)
    entry.push(content, true)
  }
  add(new ZipDeflate('inspection.json', { level: 6 }), strToU8(inspection))
  for (const file of files) {
    add(new ZipPassThrough(file.name), await file.read())
    yield* parts.splice(0)
  }
  zip.end()
  yield* parts
}

function unpack(bytes: Uint8Array, filter: (file: UnzipFileInfo) => boolean): Record<string, Uint8Array> {
  try {
    return unzipSync(bytes, { filter })
  } catch (error) {
    if (error instanceof Error && error.name === 'AppError') throw error
    throw fault('bundle', `is damaged or cut off (${(error as Error).message})`, 'export or copy it again')
  }
}

function refuseName(name: string): void {
  if (!isPlainName(name))
    throw fault(JSON.stringify(name), 'is a name that leads out of the bundle', 'name files by plain names inside the bundle')
}

function fault(path: string, what: string, remedy: string) {
  return badInput([{ path, fault: what, remedy }])
}
