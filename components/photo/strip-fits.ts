/**
 * Fits of a journal's photographs that show its printed strip, as the page has them between two answers of the server: with
 * the codes and rims that the file gives or that the server found last, and the hand picks as they stand now.
 */
import type { BenchDocument } from '@/components/editor/document'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import { type FoundStrip, stripEntries } from '@/lib/photo/printed-strip-fit'
import { fitStripPhotos } from '@/lib/photo/printed-strip-result'
import { type Aligned, alignmentInputs, photosOf } from './aligned-photos'
import type { FitResult } from './fit-cache'

type Kept = { madeFrom: readonly unknown[]; fits: ReadonlyMap<string, FitResult> }

/** Values of the document are never changed in place, so that their identity stands for what they hold. */
const kept = new WeakMap<Journal, Kept>()

/** By the photographs' names; empty where none shows a strip. */
export function stripFits(document: BenchDocument, journal: Journal, aligned: Aligned): ReadonlyMap<string, FitResult> {
  const rows = photosOf(document, journal)
  if (rows.every((row) => row.value.handles.strip === null)) return none
  const known = aligned.journals.get(journal.id)?.photos
  const madeFrom = [...alignmentInputs(document, journal), known]
  const before = kept.get(journal)
  if (before && before.madeFrom.length === madeFrom.length && before.madeFrom.every((value, i) => value === madeFrom[i])) return before.fits
  const found = new Map<string, FoundStrip>()
  for (const [photoId, record] of known ?? [])
    if ('fit' in record && record.fit.strip)
      found.set(photoId, {
        markers: record.fit.strip.markers.map(({ id, corners: [a, b, c, d] }) => ({ id, corners: [a, b, c, d] })),
        rims: record.fit.strip.rims,
      })
  const lensOf = (photo: Photo) => document.files[rows.find((row) => row.value === photo)?.id ?? '']?.lens ?? null
  const entries = stripEntries(
    rows.map((row) => row.value),
    found,
    lensOf,
  )
  const fits = fitStripPhotos(journal, entries)
  kept.set(journal, { madeFrom, fits })
  return fits
}

const none: ReadonlyMap<string, FitResult> = new Map()
