/** What the bench shows of one journal, derived from the document: its surface, photographs with fits, findings, marks with their places. */
import { draftFindings, journalFindings } from '@/components/finding/journal-findings'
import type { BenchMark } from '@/components/map/bench-mark'
import { type UnseenCells, unseenCells } from '@/components/map/unseen-cells'
import type { Aligned } from '@/components/photo/aligned-photos'
import { type FitResult, journalFits } from '@/components/photo/fit-cache'
import { type MapPoint, sOfAxial, type Surface, surfaceOf } from '@/lib/journal/surface'
import type { Findings, MarkFinding } from '@/lib/model/findings'
import type { Journal } from '@/lib/model/journal'
import type { Mark } from '@/lib/model/mark'
import type { Photo } from '@/lib/model/photo'
import { coverageOf } from '@/lib/photo/coverage'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { leftOutOf } from '@/lib/photo/left-out'
import type { BenchDocument, Row } from './document'
import { markLetter } from './mark-names'

export type JournalModel = {
  row: Row<Journal>
  surface: Surface
  photos: readonly Row<Photo>[]
  aligned: Aligned
  /** By row id of the photograph. */
  fits: ReadonlyMap<string, FitResult>
  findings: Findings
  marks: readonly Row<Mark>[]
}

/** @param before the journal without the mark that is being drawn or moved in `document`; then only that is worked out anew */
export function journalModel(document: BenchDocument, row: Row<Journal>, aligned: Aligned, before?: JournalModel): JournalModel {
  return {
    row,
    surface: surfaceOf(row.value),
    photos: document.photos.filter((photo) => photo.value.journalId === row.value.id),
    aligned,
    fits: journalFits(document, row.value, aligned),
    findings: before ? draftFindings(document, row.value, aligned, before.findings) : journalFindings(document, row.value, aligned),
    marks: document.marks.filter((mark) => mark.value.journalId === row.value.id),
  }
}

export function markFinding(model: JournalModel, mark: Mark): MarkFinding | undefined {
  return model.findings.marks.find((finding) => finding.id === mark.id)
}

/** Where a mark lies on the map; null where its photograph cannot say. A mark whose angle about the shaft is not known is not on the map. */
export function verticesOf(model: JournalModel, mark: Mark): MapPoint[] | null {
  if (mark.points)
    return mark.points.map((point) => ({
      theta: (point.angleDeg * Math.PI) / 180,
      s: 's' in point ? point.s : sOfAxial(model.surface, point.axial),
    }))
  const photo = model.photos.find((row) => row.value.id === mark.photoId)
  const fit = photo && model.fits.get(photo.id)
  const finding = markFinding(model, mark)
  if (!fit?.ok || !fit.value.rollKnown || !finding) return null
  const points = finding.points.flatMap(({ angleDeg, s }) => (s === null ? [] : [{ theta: (angleDeg * Math.PI) / 180, s }]))
  return points.length > 0 && points.length === finding.points.length ? points : null
}

export function benchMark(model: JournalModel, row: Row<Mark>, chosen: boolean, open: boolean, chosenVertex: number | null): BenchMark {
  const { value } = row
  return {
    rowId: row.id,
    letter: markLetter(value),
    closed: value.shape === 'area',
    vertices: verticesOf(model, value),
    drawn: value.photoId !== undefined && value.pixels ? { photoId: value.photoId, pixels: value.pixels } : null,
    concern: markFinding(model, value)?.concern ?? null,
    chosen,
    open,
    chosenVertex,
  }
}

/** The photographs that tell where they stand on the journal: they are rolled out. */
export function rolledOut(model: JournalModel): { row: Row<Photo>; fit: Fit }[] {
  return model.photos.flatMap((row) => {
    const fit = model.fits.get(row.id)
    return fit?.ok && fit.value.rollKnown && fit.value.slideKnown ? [{ row, fit: fit.value }] : []
  })
}

/** What no trusted photograph shows well. */
export function unseenOf(model: JournalModel): UnseenCells {
  const views = rolledOut(model).flatMap(({ row, fit }) => (fit.trusted ? [{ camera: fit.camera, ignore: leftOutOf(row.value, fit) }] : []))
  return unseenCells(coverageOf(model.surface, model.row.value.oilHoles, views).grid)
}

/** The journal's marks, worst first, then by letter. */
export function worstFirst(model: JournalModel): { row: Row<Mark>; finding: MarkFinding }[] {
  const order = { 'treat-as-cracked': 0, hold: 1, record: 2 }
  return model.marks
    .flatMap((row) => {
      const finding = markFinding(model, row.value)
      return finding ? [{ row, finding }] : []
    })
    .sort(
      (a, b) =>
        order[a.finding.concern] - order[b.finding.concern] ||
        markLetter(a.row.value).localeCompare(markLetter(b.row.value), 'en', { numeric: true }),
    )
}
