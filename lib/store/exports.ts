/** A shaft as files to take along. What is exported and imported again is the same to the last digit. */
import { posix } from 'node:path'
import type { InspectionMm } from '../model/inspection'
import type { PhotoFile, ShaftDocument } from '../model/rows'
import { inspectionOf } from './document'
import type { PhotoStorage } from './photo-storage'
import { type ArchiveFile, isPlainName, writeArchive } from './zip'

export function inspectionText(inspection: InspectionMm): string {
  return `${JSON.stringify(inspection, null, 1)}\n`
}

/** A zip of the inspection file and every picture that is kept, byte for byte. */
export function bundleOf(document: ShaftDocument, storage: PhotoStorage): ReadableStream<Uint8Array> {
  const named = withPlainFiles(document)
  const files = [...named.entries].map(([name, sha256]): ArchiveFile => ({ name, read: () => storage.readOriginal(sha256) }))
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
    if (!file) return photo
    const wanted = photo.file && isPlainName(photo.file) && photo.file !== 'inspection.json' ? photo.file : madeName(photo.id, file)
    let name = wanted
    for (let copy = 2; (entries.get(name) ?? file.sha256) !== file.sha256; copy += 1) name = numbered(wanted, copy)
    entries.set(name, file.sha256)
    return { ...photo, file: name }
  })
  return { inspection: { ...inspection, photos }, entries }
}

function madeName(photo: string, file: PhotoFile): string {
  const extension = file.mime === 'image/jpeg' ? 'jpg' : file.mime.slice('image/'.length)
  return `${photo.replace(/[^A-Za-z0-9._-]+/g, '-').replace(/^[.-]+/, '') || 'photo'}.${extension}`
}

function numbered(name: string, copy: number): string {
  const extension = posix.extname(name)
  return `${name.slice(0, name.length - extension.length)}-${copy}${extension}`
}
