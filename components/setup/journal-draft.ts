/** A journal while a person types it: any length may still be missing. Lengths in mm. */
import { journalFaults } from '@/lib/journal/inspection-check'
import { jsonPath } from '@/lib/model/fault'
import type { Units } from '@/lib/model/inspection'
import type { Coating, Journal, JournalEnd, OilHole } from '@/lib/model/journal'
import { done, failed, type Result } from '@/lib/model/result'
import { fromMm } from '@/lib/model/units'

export type EndForm = JournalEnd['form']
export type EndDraft = { form: EndForm; radius: number | null; sigma: number | null; width: number | null }
export type HoleDraft = {
  id: string
  angleDeg: number | null
  /** null with `middle`: half way along the journal. */
  axial: number | null
  middle: boolean
  mouthAround: number | null
  mouthAlong: number | null
  tiltDeg: number | null
}
/** What a person types of the strip that the journal wears. */
export type StripDraft = {
  worn: boolean
  /** null: printed for the journal's own diameter. */
  printedFor: number | null
  toFront: 'front' | 'rear'
  frontEdge: number | null
  zeroAngleDeg: number | null
  gapMm: number | null
}
export type JournalDraft = {
  diameter: number | null
  width: number | null
  endsAlike: boolean
  front: EndDraft
  rear: EndDraft
  holes: HoleDraft[]
  coating: Coating['kind']
  platingPerSide: number | null
  overheated: boolean
  strip: StripDraft
}
export type DraftField =
  | 'diameter'
  | 'width'
  | `${'front' | 'rear'}.${'radius' | 'sigma' | 'width'}`
  | `holes.${number}.${'angleDeg' | 'axial' | 'mouthAround' | 'mouthAlong' | 'tiltDeg'}`
  | 'platingPerSide'
/** What is wrong, at the field where it can be put right. */
export type DraftFaults = Partial<Record<DraftField, string>>

export const emptyEnd: EndDraft = { form: 'tangent', radius: null, sigma: null, width: null }
export const noStrip: StripDraft = { worn: false, printedFor: null, toFront: 'front', frontEdge: null, zeroAngleDeg: null, gapMm: null }
export const emptyDraft: JournalDraft = {
  diameter: null,
  width: null,
  endsAlike: true,
  front: emptyEnd,
  rear: emptyEnd,
  holes: [],
  coating: 'unknown',
  platingPerSide: null,
  overheated: false,
  strip: noStrip,
}

export function newHole(holes: readonly HoleDraft[]): HoleDraft {
  let number = holes.length + 1
  while (holes.some((hole) => hole.id === `h${number}`)) number += 1
  const like = holes.at(-1)
  return {
    id: `h${number}`,
    angleDeg: like ? null : 0,
    axial: null,
    middle: true,
    mouthAround: like?.mouthAround ?? null,
    mouthAlong: like?.mouthAlong ?? null,
    tiltDeg: 0,
  }
}

/** Stands at a field that was not filled in. */
export const missingWord = 'Still missing. Type what you measured.'

/** What a draft does not say of its journal. */
export type JournalFrame = {
  name: string
  kind: Journal['kind']
  /** Ends that are sharp steps whatever the draft says: the inner sides of a split pin. */
  stepEnds?: { front: boolean; rear: boolean }
  /** The journal as it stood: what this form does not show stays as it is. */
  kept?: Journal
}

/**
 * The finished journal in mm, or the faults by field: first what is missing, then what the geometry forbids.
 * @param units the sentences of the faults speak in these.
 */
export function journalOf(draft: JournalDraft, frame: JournalFrame, units: Units): Result<Journal, DraftFaults> {
  const missing: DraftFaults = {}
  const journal = assembled(draft, frame, 'mm', missing)
  if (Object.keys(missing).length > 0) return failed(missing)
  const faults = journalFaults(journal, 'mm')
  if (faults.length === 0) return done(journal)
  // The same in the page's units, for the sentences; a fault by a hair may not survive the conversion.
  const worded = units === 'mm' ? faults : journalFaults(assembled(draft, frame, units, {}), units)
  return failed(faultsByField(worded.length > 0 ? worded : faults, draft.endsAlike))
}

function assembled(draft: JournalDraft, frame: JournalFrame, units: Units, missing: DraftFaults): Journal {
  const angle = (field: DraftField, value: number | null): number => {
    if (value === null) missing[field] = missingWord
    return value ?? 0
  }
  const length = (field: DraftField, value: number | null): number => fromMm(angle(field, value), units)
  const endOf = (side: 'front' | 'rear', end: EndDraft): JournalEnd => {
    if (frame.stepEnds?.[side] || end.form === 'step') return { form: 'step' }
    const typedAt = draft.endsAlike ? 'front' : side
    if (end.form === 'undercut') return { form: 'undercut', width: length(`${typedAt}.width`, end.width) }
    const radius = length(`${typedAt}.radius`, end.radius)
    return end.sigma === null ? { form: 'tangent', radius } : { form: 'tangent', radius, sigma: fromMm(end.sigma, units) }
  }
  const width = length('width', draft.width)
  return {
    ...stripOf(draft, frame, units),
    id: frame.name,
    kind: frame.kind,
    diameter: length('diameter', draft.diameter),
    width,
    fillets: { front: endOf('front', draft.front), rear: endOf('rear', draft.endsAlike ? draft.front : draft.rear) },
    oilHoles: draft.holes.map((hole, index) => ({
      id: hole.id,
      angleDeg: angle(`holes.${index}.angleDeg`, hole.angleDeg),
      axial: hole.middle ? width / 2 : length(`holes.${index}.axial`, hole.axial),
      mouthAround: length(`holes.${index}.mouthAround`, hole.mouthAround),
      mouthAlong: length(`holes.${index}.mouthAlong`, hole.mouthAlong),
      tiltDeg: angle(`holes.${index}.tiltDeg`, hole.tiltDeg),
    })),
    coating: { kind: draft.coating, perSide: draft.coating === 'known' ? length('platingPerSide', draft.platingPerSide) : null },
    overheated: draft.overheated,
  }
}

export function draftOf(journal: Journal): JournalDraft {
  const front = endDraftOf(journal.fillets.front)
  const rear = endDraftOf(journal.fillets.rear)
  return {
    diameter: journal.diameter,
    width: journal.width,
    endsAlike: JSON.stringify(front) === JSON.stringify(rear),
    front,
    rear,
    holes: journal.oilHoles.map((hole) => holeDraftOf(hole, journal.width)),
    coating: journal.coating.kind,
    platingPerSide: journal.coating.perSide,
    overheated: journal.overheated,
    strip: stripDraftOf(journal),
  }
}

function stripOf({ strip, diameter }: JournalDraft, { kept }: JournalFrame, units: Units): Pick<Journal, 'strip'> {
  if (!strip.worn) return {}
  const { toFront, zeroAngleDeg, gapMm } = strip
  const thickness = kept?.strip?.thickness
  const printedFor = strip.printedFor ?? diameter
  if (printedFor === null) return {}
  return {
    strip: {
      diameter: fromMm(printedFor, units),
      ...(thickness === undefined ? {} : { thickness: fromMm(thickness, units) }),
      toFront,
      frontEdge: strip.frontEdge === null ? null : fromMm(strip.frontEdge, units),
      zeroAngleDeg,
      gapMm,
    },
  }
}

function stripDraftOf({ strip, diameter }: Journal): StripDraft {
  if (!strip) return noStrip
  const { toFront, frontEdge, zeroAngleDeg, gapMm } = strip
  return { worn: true, printedFor: strip.diameter === diameter ? null : strip.diameter, toFront, frontEdge, zeroAngleDeg, gapMm }
}

function endDraftOf(end: JournalEnd): EndDraft {
  switch (end.form) {
    case 'tangent':
      return { ...emptyEnd, form: 'tangent', radius: end.radius, sigma: end.sigma ?? null }
    case 'undercut':
      return { ...emptyEnd, form: 'undercut', width: end.width }
    case 'step':
      return { ...emptyEnd, form: 'step' }
  }
}

function holeDraftOf(hole: OilHole, width: number): HoleDraft {
  return { ...hole, middle: Math.abs(hole.axial - width / 2) < 1e-9 }
}

/** Puts the geometry's faults, which name a path within the journal, at the fields they speak of. */
function faultsByField(faults: readonly { path: (string | number)[]; fault: string; remedy: string }[], endsAlike: boolean): DraftFaults {
  const byField: DraftFaults = {}
  for (const { path, fault, remedy } of faults)
    byField[fieldOf(jsonPath(path).slice(2), endsAlike)] ??= `${capital(fault)}. ${capital(remedy)}.`
  return byField
}

function fieldOf(path: string, endsAlike: boolean): DraftField {
  const end = /^fillets\.(front|rear)\.?(radius|sigma|width)?/.exec(path)
  if (end) return `${endsAlike ? 'front' : (end[1] as 'front' | 'rear')}.${(end[2] ?? 'radius') as 'radius' | 'sigma' | 'width'}`
  const hole = /^oilHoles\[(\d+)\]\.?(angleDeg|axial|mouthAround|mouthAlong|tiltDeg)?/.exec(path)
  if (hole) return `holes.${Number(hole[1])}.${(hole[2] ?? 'axial') as 'axial'}`
  if (path.startsWith('coating')) return 'platingPerSide'
  return path.startsWith('diameter') ? 'diameter' : 'width'
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
