/** Fits of photographs, each worked out once for what it was made from: journal, handles and lens. */
import type { BenchDocument } from '@/components/editor/document'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import type { Result } from '@/lib/model/result'
import { outcomeOfRecord } from '@/lib/photo/alignment-record'
import { type Fit, type FitFailure, fitPhoto } from '@/lib/photo/cylinder-fit'
import type { LensData } from '@/lib/photo/lens-priors'
import { type Aligned, alignedJournal, photosOf } from './aligned-photos'
import { stripFits } from './strip-fits'

export type FitResult = Result<Fit, FitFailure>
type Kept = { journal: Journal; lens: LensData | null; result: FitResult }

/** Values of the document are never changed in place, so that a photograph's identity stands for what it holds. */
const kept = new WeakMap<Photo, Kept>()

export function fitOf(journal: Journal, photo: Photo, lens: LensData | null): FitResult {
  const before = kept.get(photo)
  if (before && before.journal === journal && sameLens(before.lens, lens)) return before.result
  const result = fitPhoto(journal, photo, lens)
  kept.set(photo, { journal, lens, result })
  return result
}

/** The fits of a journal's photographs by row id, the aligned ones where they hold. */
export function journalFits(document: BenchDocument, journal: Journal, aligned: Aligned): Map<string, FitResult> {
  const laid = alignedJournal(aligned, document, journal)?.photos
  const worn = stripFits(document, journal, aligned)
  return new Map(
    photosOf(document, journal).map((row) => {
      const own = worn.get(row.value.id) ?? fitOf(journal, row.value, document.files[row.id]?.lens ?? null)
      const record = laid?.get(row.value.id)
      return [row.id, record ? outcomeOfRecord(record, own) : own]
    }),
  )
}

function sameLens(one: LensData | null, other: LensData | null): boolean {
  return one?.focal35Mm === other?.focal35Mm && one?.focalMm === other?.focalMm
}
