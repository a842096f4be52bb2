/** The marks of a shaft as a table: what was drawn, what was measured, what the rule card says. Units ride in the column names. */
import type { Findings, MarkFinding } from '../model/findings'
import type { InspectionMm } from '../model/inspection'
import type { Mark } from '../model/mark'
import { type Cell, csvOf } from './csv'

type Line = { inspection: InspectionMm; mark: Mark; finding: MarkFinding | undefined }

/** One standard deviation in the columns that end in `Sigma`. */
const columns: readonly [string, (line: Line) => Cell][] = [
  ['shaft', ({ inspection }) => inspection.shaft.id],
  ['journal', ({ mark }) => mark.journalId],
  ['mark', ({ mark }) => mark.id],
  ['shape', ({ mark }) => mark.shape],
  ['photo', ({ mark }) => mark.photoId],
  ['concern', ({ finding }) => finding?.concern],
  ['pattern', ({ finding }) => finding?.pattern],
  ['borderline', ({ finding }) => finding?.borderline],
  ['couldBe', ({ finding }) => finding?.couldBe.join(' ')],
  ['lengthMm', ({ finding }) => finding?.lengthMm],
  ['lengthMmSigma', ({ finding }) => finding?.sigma.lengthMm],
  ['angleToAxisDeg', ({ finding }) => finding?.angleToAxisDeg],
  ['angleDegSigma', ({ finding }) => finding?.sigma.angleDeg],
  ['signedAngleDeg', ({ finding }) => finding?.signedAngleDeg],
  ['worstAngleDeg', ({ finding }) => finding?.worstAngleDeg],
  ['resultant', ({ finding }) => finding?.resultant],
  ['aroundDeg', ({ finding }) => finding?.aroundDeg],
  ['alongMm', ({ finding }) => finding?.alongMm],
  ['filletFrontMm', ({ finding }) => finding?.filletFrontMm],
  ['filletRearMm', ({ finding }) => finding?.filletRearMm],
  ['filletNearestMm', ({ finding }) => finding?.filletNearestMm],
  ['filletMmSigma', ({ finding }) => finding?.sigma.filletMm],
  ['intoFilletMm', ({ finding }) => finding?.intoFilletMm],
  ['oilHoles', ({ finding }) => finding?.oilHoles?.map(({ id, distanceMm }) => `${id} ${distanceMm} mm`).join('; ')],
  ['oilHoleMmSigma', ({ finding }) => finding?.sigma.oilHoleMm],
  ['feel', ({ mark }) => mark.feel],
  ['seen', ({ mark }) => mark.seen.join(' ')],
  ['named', ({ mark }) => mark.named],
  ['reasons', ({ finding }) => finding?.reasons.map(({ code }) => code).join(' ')],
  ['note', ({ mark }) => mark.note],
]

export function marksCsv(inspection: InspectionMm, findings: Findings): string {
  const found = new Map(findings.marks.map((finding) => [finding.id, finding]))
  const rows = inspection.marks.map((mark) => columns.map(([, cell]) => cell({ inspection, mark, finding: found.get(mark.id) })))
  return csvOf(
    columns.map(([name]) => name),
    rows,
  )
}
