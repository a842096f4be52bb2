/** The findings of one journal, worked out in the page by the same modules as on the server, and kept until something of that journal changes. */
import type { BenchDocument, Row } from '@/components/editor/document'
import { type Aligned, type AlignedJournal, alignedJournal } from '@/components/photo/aligned-photos'
import { journalFits } from '@/components/photo/fit-cache'
import { assess } from '@/lib/finding/assess'
import type { Findings } from '@/lib/model/findings'
import type { Journal } from '@/lib/model/journal'
import type { Mark } from '@/lib/model/mark'
import type { Photo } from '@/lib/model/photo'

type Kept = { photos: readonly Row<Photo>[]; marks: readonly Row<Mark>[]; laid: AlignedJournal | null; findings: Findings }

/** Two for each journal: as it is, and as somebody else would have it. */
const kept = new WeakMap<Journal, Kept[]>()

export function journalFindings(document: BenchDocument, journal: Journal, aligned: Aligned): Findings {
  const laid = alignedJournal(aligned, document, journal)
  const photos = document.photos.filter((row) => row.value.journalId === journal.id)
  const marks = document.marks.filter((row) => row.value.journalId === journal.id)
  const before = kept.get(journal) ?? []
  const known = before.find((one) => one.laid === laid && sameValues(one.photos, photos) && sameValues(one.marks, marks))
  if (known) return known.findings
  const findings = assessed(document, journal, photos, marks, aligned)
  kept.set(journal, [{ photos, marks, laid, findings }, ...before].slice(0, 2))
  return findings
}

/**
 * The same while a mark is being drawn or moved, many times a second: only photographs with marks on them are looked at, what was seen of the
 * journal is taken from `before`.
 */
export function draftFindings(document: BenchDocument, journal: Journal, aligned: Aligned, before: Findings): Findings {
  const marks = document.marks.filter((row) => row.value.journalId === journal.id)
  const drawnOn = new Set(marks.map((row) => row.value.photoId))
  const photos = document.photos.filter((row) => row.value.journalId === journal.id && drawnOn.has(row.value.id))
  const findings = assessed(document, journal, photos, marks, aligned)
  const coverage = before.journals[0]?.coverage
  return coverage ? { ...findings, journals: findings.journals.map((one) => ({ ...one, coverage })) } : findings
}

function assessed(
  document: BenchDocument,
  journal: Journal,
  photos: readonly Row<Photo>[],
  marks: readonly Row<Mark>[],
  aligned: Aligned,
): Findings {
  const byRow = journalFits(document, journal, aligned)
  const fits = new Map(
    photos.flatMap((row) => {
      const fit = byRow.get(row.id)
      return fit ? [[row.value.id, fit] as const] : []
    }),
  )
  return assess(
    {
      format: 'throwmark/inspection@1',
      units: 'mm',
      shaft: { id: document.shaft.name, label: document.shaft.label },
      journals: [journal],
      photos: photos.map((row) => row.value),
      marks: marks.map((row) => row.value),
      sizes: [],
    },
    {},
    fits,
  )
}

function sameValues<Value>(one: readonly Row<Value>[], other: readonly Row<Value>[]): boolean {
  return one.length === other.length && one.every((row, index) => row.value === other[index]?.value)
}
