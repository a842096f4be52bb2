/** A journal and marks typed on its map, for the tests of the rules. Places in mm around (from angle 0) and along (axial). */
import { assess } from '../../../lib/finding/assess'
import { readInspection } from '../../../lib/journal/read-inspection'
import type { Findings, MarkFinding } from '../../../lib/model/findings'

export const radius = 30

type Extra = Record<string, unknown>
export type MapMark = { id: string; points: { angleDeg: number; axial: number }[] } & Extra

export const degreesAround = (mm: number): number => ((mm / radius) * 180) / Math.PI
export const mmAround = (degrees: number): number => (degrees * Math.PI * radius) / 180
/** From 0 to 30 mm along the journal's middle no limit is near: fillets of 2 mm at axial 0 and 60, one hole opposite, at 180 degrees. */
export const plainJournal = {
  id: 'P1',
  kind: 'pin',
  diameter: 2 * radius,
  width: 60,
  fillets: { front: { form: 'tangent', radius: 2 }, rear: { form: 'tangent', radius: 3 } } as unknown,
  oilHoles: [{ id: 'h1', angleDeg: 180, axial: 30, mouthAround: 8, mouthAlong: 10 }] as Extra[],
  coating: { kind: 'none' } as Extra,
  overheated: false,
}

export type Place = readonly [around: number, axial: number]

/** A line through places, exactly known unless told otherwise. */
export function line(id: string, places: readonly Place[], extra: Extra = {}): MapMark {
  return {
    id,
    journalId: 'P1',
    sigmaMm: 0,
    points: places.map(([around, axial]) => ({ angleDeg: degreesAround(around), axial })),
    ...extra,
  }
}

/** A straight line about a middle, `length` mm at `leanDeg` to the shaft's axis. */
export function straight(id: string, [around, axial]: Place, length: number, leanDeg: number, extra: Extra = {}): MapMark {
  const dx = (length / 2) * Math.sin((leanDeg * Math.PI) / 180)
  const dz = (length / 2) * Math.cos((leanDeg * Math.PI) / 180)
  return line(
    id,
    [
      [around - dx, axial - dz],
      [around + dx, axial + dz],
    ],
    extra,
  )
}

/** A rectangular patch about a middle. */
export function patch(id: string, [around, axial]: Place, wide: number, high: number, extra: Extra = {}): MapMark {
  const [w, h] = [wide / 2, high / 2]
  return line(
    id,
    [
      [around - w, axial - h],
      [around + w, axial - h],
      [around + w, axial + h],
      [around - w, axial + h],
    ],
    { shape: 'area', ...extra },
  )
}

export function findingsOf(marks: readonly Extra[], journal: Extra = {}, more: Extra = {}): Findings {
  const read = readInspection({
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: { id: 'S1', label: '' },
    journals: [{ ...plainJournal, ...journal }],
    marks,
    ...more,
  })
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  return assess(read.value, {})
}

/** The finding of one mark, alone on its journal. */
export function judged(mark: Extra, journal: Extra = {}): MarkFinding {
  return findingsOf([mark], journal).marks[0]
}

export const codes = (finding: MarkFinding): string[] => finding.reasons.map((r) => r.code)

const gravity = { 'treat-as-cracked': 3, hold: 2, record: 1, 'nothing-recorded': 0 } as const
export const graver = (a: keyof typeof gravity, b: keyof typeof gravity): number => gravity[a] - gravity[b]
