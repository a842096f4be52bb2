/** A small shaft for the editor's tests: one pin, one photograph, marks on demand. */
import type { BenchState } from '@/components/editor/bench-state'
import { openBench } from '@/components/editor/bench-state'
import type { BenchDocument, Edit, Gesture } from '@/components/editor/document'
import { journalSchema } from '@/lib/model/journal'
import { type Mark, markSchema } from '@/lib/model/mark'
import { photoSchema } from '@/lib/model/photo'

export const pin = journalSchema.parse({
  id: 'P1',
  kind: 'pin',
  diameter: 60,
  width: 40,
  fillets: { front: { form: 'tangent', radius: 3 }, rear: { form: 'tangent', radius: 3 } },
  oilHoles: [{ id: 'h1', angleDeg: 60, axial: 20, mouthAround: 8, mouthAlong: 10 }],
})
export const photo = photoSchema.parse({ id: 'ph1', journalId: 'P1', width: 2000, height: 1500 })

export function mark(id: string, angleDeg = 100): Mark {
  return markSchema.parse({
    id,
    journalId: 'P1',
    points: [
      { angleDeg, axial: 15 },
      { angleDeg: angleDeg + 5, axial: 20 },
    ],
  })
}

export function benchDocument(marks: readonly Mark[] = []): BenchDocument {
  return {
    shaft: { id: 'shaft-row', name: 'S1', label: '' },
    journals: [{ id: 'journal-row', value: pin }],
    photos: [{ id: 'photo-row', value: photo }],
    marks: marks.map((value) => ({ id: `row-${value.id}`, value })),
    files: { 'photo-row': null },
  }
}

export function knownOf(document: BenchDocument, version = 1) {
  const rows = [...document.journals, ...document.photos, ...document.marks]
  return Object.fromEntries(rows.map((row) => [row.id, { version, removed: false }]))
}

export function bench(marks: readonly Mark[] = []): BenchState {
  const document = benchDocument(marks)
  return openBench(document, knownOf(document))
}

export function markEdit(id: string, before: Mark | null, after: Mark | null): Edit {
  return { kind: 'mark', id, before, after }
}

let count = 0
export function gesture(...edits: Edit[]): Gesture {
  count += 1
  return { id: `g${count}`, words: 'Draw a mark', edits }
}
