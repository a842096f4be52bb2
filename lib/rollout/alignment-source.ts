/**
 * What the alignment of a journal's photographs is made from, as one text: where two texts are equal, so is the
 * alignment. Its sha256 is the key under which an alignment is kept, and by which a page tells whether it still holds.
 */
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { LensData } from '../photo/lens-priors'

/** To be raised with every change that changes an aligned fit. */
const alignmentVersion = 17

export type AlignmentSource = {
  journal: Journal
  /** In the order of the inspection; those with a picture, or the name of one, or that show a printed strip. `sha256` null: the picture is not there. */
  photos: readonly { photo: Photo; lens: LensData | null; sha256: string | null }[]
}

export function alignmentText({ journal, photos }: AlignmentSource): string {
  return JSON.stringify(sorted([alignmentVersion, journal, photos.map(({ photo, lens, sha256 }) => ({ photo, lens, sha256 }))]))
}

/** Keys in one order, whoever wrote them. */
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted)
  if (value === null || typeof value !== 'object') return value
  const entries = Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1))
  return Object.fromEntries(entries.map(([key, one]) => [key, sorted(one)]))
}
