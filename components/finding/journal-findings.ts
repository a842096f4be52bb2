/** The findings of one journal, worked out in the page by the same modules as on the server, and kept until something of that journal changes. */
import type { BenchDocument, Row } from '@/components/editor/document'
import { fitOf } from '@/components/photo/fit-cache'
import { assess } from '@/lib/finding/assess'
import type { Findings } from '@/lib/model/findings'
import type { Journal } from '@/lib/model/journal'
import type { Mark } from '@/lib/model/mark'
import type { Photo } from '@/lib/model/photo'

type Kept = { photos: readonly Row<Photo>[]; marks: readonly Row<Mark>[]; findings: Findings }

/** Two for each journal: as it is, and as somebody else would have it. */
const kept = new WeakMap<Journal, Kept[]>()

export function journalFindings(document: BenchDocument, journal: Journal): Findings {
  const photos = document.photos.filter((row) => row.value.journalId === journal.id)
  const marks = document.marks.filter((row) => row.value.journalId === journal.id)
  const before = kept.get(journal) ?? []
  const known = before.find((one) => sameValues(one.photos, photos) && sameValues(one.marks, marks))
  if (known) return known.findings
  const findings = assessed(document, journal, photos, marks)
  kept.set(journal, [{ photos, marks, findings }, ...before].slice(0, 2))
  return findings
}

/**
 * The same while a mark is being drawn or moved, many times a second: only photographs with marks on them are looked at, what was seen of the
 * journal is taken from `before`.
 */
export function draftFindings(document: BenchDocument, journal: Journal, before: Findings): Findings {
  const marks = document.marks.filter((row) => row.value.journalId === journal.id)
  const drawnOn = new Set(marks.map((row) => row.value.photoId))
  const photos = document.photos.filter((row) => row.value.journalId === journal.id && drawnOn.has(row.value.id))
  const findings = assessed(document, journal, photos, marks)
  const coverage = before.journals[0]?.coverage
  return coverage ? { ...findings, journals: findings.journals.map((one) => ({ ...one, coverage })) } : findings
}

function assessed(document: BenchDocument, journal: Journal, photos: readonly Row<Photo>[], marks: readonly Row<Mark>[]): Findings {
  const fits = new Map(photos.map((row) => [row.value.id, fitOf(journal, row.value, document.files[row.id]?.lens ?? null)]))
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
