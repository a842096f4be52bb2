/** Photographs laid beside each other at the server, as the page uses them: only while journal and photographs are what they were laid from. */
import type { BenchDocument, Row } from '@/components/editor/document'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import type { AlignedPhotos } from '@/lib/photo/alignment-record'

export type AlignedJournal = {
  madeFrom: readonly unknown[]
  /** By the photographs' names. */
  photos: ReadonlyMap<string, AlignedPhotos[number]>
}

export type Aligned = {
  /** By the journals' names. */
  journals: ReadonlyMap<string, AlignedJournal>
  /** Photographs looked at so far, of those journals whose photographs are being laid. */
  work: ReadonlyMap<string, { done: number; of: number }>
  /** Journals for which a person stopped it. */
  stopped: ReadonlySet<string>
  /** Why it came to nothing. */
  failed: ReadonlyMap<string, string>
}

export const notAligned: Aligned = { journals: new Map(), work: new Map(), stopped: new Set(), failed: new Map() }

/** The aligned fits of a journal; null where there are none, or something has changed since. */
export function alignedJournal(aligned: Aligned, document: BenchDocument, journal: Journal): AlignedJournal | null {
  const known = aligned.journals.get(journal.id)
  if (!known) return null
  const now = alignmentInputs(document, journal)
  return now.length === known.madeFrom.length && now.every((value, i) => value === known.madeFrom[i]) ? known : null
}

/** What stands for everything that an alignment is made from: values are never changed in place. */
export function alignmentInputs(document: BenchDocument, journal: Journal): unknown[] {
  return [journal, ...photosOf(document, journal).flatMap((row) => [row.value, document.files[row.id]?.sha256])]
}

export function photosOf(document: BenchDocument, journal: Journal): Row<Photo>[] {
  return document.photos.filter((row) => row.value.journalId === journal.id)
}
