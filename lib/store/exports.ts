/** A shaft as files to take along. What is exported and imported again is the same to the last digit. */
import { posix } from 'node:path'
import type { InspectionMm } from '../model/inspection'
import type { LiftRow, PhotoFile, ShaftDocument } from '../model/rows'
import { inspectionOf } from './document'
import { liftsFile, liftsText } from './lift-bundle'
import type { PhotoStorage } from './photo-storage'
import { type ArchiveFile, isPlainName, writeArchive } from './zip'

export function inspectionText(inspection: InspectionMm): string {
  return `${JSON.stringify(inspection, null, 1)}\n`
}

/** A zip of the inspection file, the flat lifts if there are any, and every picture that is kept, byte for byte. */
export function bundleOf(document: ShaftDocument, storage: PhotoStorage, liftRows: readonly LiftRow[] = []): ReadableStream<Uint8Array> {
  const named = withPlainFiles(document)
  const lifts = liftRows.map(({ lift, file }) => ({ ...lift, file: enter(named.entries, lift.file, lift.id, file) }))
  const pictures = [...named.entries].map(([name, sha256]): ArchiveFile => ({ name, read: () => storage.readOriginal(sha256) }))
  const files = lifts.length > 0 ? [{ name: liftsFile, read: async () => Buffer.from(liftsText(lifts)) }, ...pictures] : pictures
  return writeArchive(inspectionText(named.inspection), files, new Date(document.shaft.updatedAt))
}

/** A name for the exported file, such as `2217.zip`. */
export function exportName(document: ShaftDocument, extension: string): string {
  const stem = document.shaft.shaft.id.replace(/[^\p{L}\p{N}._-]+/gu, '-').replace(/^[.-]+/, '')
  return `${stem || 'shaft'}.${extension}`
}

/** Every kept picture under a name of its own that stays inside the bundle; names that do already are left alone. */
function withPlainFiles(document: ShaftDocument): { inspection: InspectionMm; entries: Map<string, string> } {
  const entries = new Map<string, string>()
  const inspection = inspectionOf(document)
  const photos = document.photos.map(({ photo, file }) => {
    return file ? { ...photo, file: enter(entries, photo.file, photo.id, file) } : photo
  })
  return { inspection: { ...inspection, photos }, entries }
}

/** Enters a picture under its own name where that stays inside the bundle and is free, else under another, which it returns. */
function enter(entries: Map<string, string>, own: string | undefined, id: string, file: PhotoFile): string {
  const wanted = own && isPlainName(own) && own !== 'inspection.json' && own !== liftsFile ? own : madeName(id, file)
  let name = wanted
  for (let copy = 2; (entries.get(name) ?? file.sha256) !== file.sha256; copy += 1) name = numbered(wanted, copy)
  entries.set(name, file.sha256)
  return name
}

function madeName(photo: string, file: PhotoFile): string {
  const extension = file.mime === 'image/jpeg' ? 'jpg' : file.mime.slice('image/'.length)
  return `${photo.replace(/[^A-Za-z0-9._-]+/g, '-').replace(/^[.-]+/, '') || 'photo'}.${extension}`
}

function numbered(name: string, copy: number): string {
  const extension = posix.extname(name)
  return `${name.slice(0, name.length - extension.length)}-${copy}${extension}`
}
