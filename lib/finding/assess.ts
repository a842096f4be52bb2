/** The whole assessment: every photo fitted, every mark measured and judged, groups, coverage, the shaft's concern. */
import { measureMark } from '../journal/mark-measure'
import { mouthOf } from '../journal/oil-hole'
import { type Surface, surfaceOf } from '../journal/surface'
import { type Fault, jsonPath } from '../model/fault'
import type { Findings, Group, JournalConcern, JournalFinding, MarkFinding, PhotoFinding, Warning } from '../model/findings'
import type { Inspection } from '../model/inspection'
import type { Journal } from '../model/journal'
import type { Result } from '../model/result'
import { coverageOf } from '../photo/coverage'
import { type Fit, type FitFailure, fitPhoto, type StripOfFit } from '../photo/cylinder-fit'
import { failureText } from '../photo/fit-failure-text'
import { leftOutOf } from '../photo/left-out'
import type { LensData } from '../photo/lens-priors'
import { type FoundStrips, stripEntries } from '../photo/printed-strip-fit'
import { fitStripPhotos } from '../photo/printed-strip-result'
import { flatLine, gapToArea } from './flat-line'
import { type GroupMember, groupMember } from './group-member'
import { groupsOf } from './groups'
import { judgeMark, unplacedFinding } from './judge-mark'
import { type MarkNumbers, markNumbers } from './mark-evidence'
import { atMost, worstConcern } from './pattern'
import { type PlacedMark, placeMark, type PlacementFailure } from './placed-mark'
import { ruleCard } from './rule-card'

export type FitOutcome = Result<Fit, FitFailure>
export type LensByPhoto = Readonly<Record<string, LensData | null | undefined>>

/** Findings of an inspection whose lengths are in mm. Fits may be handed in where the caller has them already. */
export function assess(
  inspection: Inspection,
  lensByPhoto: LensByPhoto,
  fits: ReadonlyMap<string, FitOutcome> = fitPhotos(inspection, lensByPhoto),
): Findings {
  const perJournal = inspection.journals.map((journal) => assessJournal(inspection, journal, fits))
  const findingById = new Map(perJournal.flatMap((j) => j.marks).map((mark) => [mark.id, mark]))
  const concern = worstConcern(perJournal.map((j) => j.finding.concern))
  return {
    format: 'throwmark/findings@1',
    rules: { version: ruleCard.version, values: { ...ruleCard.values } },
    photos: inspection.photos.map((photo) => photoFinding(photo.id, fits.get(photo.id))),
    marks: inspection.marks.flatMap((mark) => findingById.get(mark.id) ?? []),
    groups: perJournal.flatMap((j) => j.groups).map((group, i) => ({ id: `g${i + 1}`, ...group })),
    journals: perJournal.map((j) => j.finding),
    shaft: { concern, statement: statement(concern) },
  }
}

/** `found`: the printed strip in the photographs that ask for them to be found and whose pictures were looked at. */
export function fitPhotos(inspection: Inspection, lensByPhoto: LensByPhoto, found: FoundStrips = new Map()): Map<string, FitOutcome> {
  const journals = new Map(inspection.journals.map((j) => [j.id, j]))
  const fits = new Map<string, FitOutcome>()
  for (const photo of inspection.photos) {
    const journal = journals.get(photo.journalId)
    if (journal && photo.handles.strip === null) fits.set(photo.id, fitPhoto(journal, photo, lensByPhoto[photo.id] ?? null))
  }
  for (const journal of inspection.journals) {
    const own = inspection.photos.filter((photo) => photo.journalId === journal.id)
    const entries = stripEntries(own, found, (photo) => lensByPhoto[photo.id] ?? null)
    if (entries.length > 0) for (const [id, fit] of fitStripPhotos(journal, entries)) fits.set(id, fit)
  }
  return fits
}

/** Marks whose pixels miss the journal although their photograph is fitted well: refused by name. */
export function offJournalFaults(inspection: Inspection, fits: ReadonlyMap<string, FitOutcome>): Fault[] {
  const journals = new Map(inspection.journals.map((j) => [j.id, j]))
  return inspection.marks.flatMap((mark, i) => {
    const journal = journals.get(mark.journalId)
    const fit = fitOf(fits, mark.photoId)
    if (!journal || !mark.pixels || !fit?.trusted) return []
    const placed = placeMark(surfaceOf(journal), mark, fit, ruleCard.values.confidenceSigmas)
    if (placed.ok || placed.reason.code !== 'off-journal') return []
    const pixel = mark.pixels[placed.reason.pixel]
    return [
      {
        path: jsonPath(['marks', i, 'pixels', placed.reason.pixel]),
        fault: `mark ${JSON.stringify(mark.id)} leaves the journal: the ray of pixel (${pixel[0].toFixed(1)}, ${pixel[1].toFixed(1)}) of photo ${JSON.stringify(mark.photoId)} misses journal ${JSON.stringify(mark.journalId)}`,
        remedy: 'end the mark on the journal, or mend the handles of that photo',
      },
    ]
  })
}

type JournalAssessment = { finding: JournalFinding; marks: MarkFinding[]; groups: Omit<Group, 'id'>[] }

function assessJournal(inspection: Inspection, journal: Journal, fits: ReadonlyMap<string, FitOutcome>): JournalAssessment {
  const surface = surfaceOf(journal)
  const card = ruleCard.values
  const numbers = new Map<string, MarkNumbers>()
  const failures = new Map<string, PlacementFailure>()
  const own = inspection.marks.filter((mark) => mark.journalId === journal.id)
  for (const mark of own) {
    const placed = placeMark(surface, mark, fitOf(fits, mark.photoId), card.confidenceSigmas)
    if (!placed.ok) failures.set(mark.id, placed.reason)
    else numbers.set(mark.id, numbersOf(placed.value, journal))
  }
  const groups: Omit<Group, 'id'>[] = []
  const chainAroundDeg = new Map<string, number>()
  for (const members of membersByFrame([...numbers.values()])) {
    const found = groupsOf(surface, members)
    groups.push(...found.groups)
    for (const [id, extent] of found.chainAroundDeg) chainAroundDeg.set(id, extent)
  }
  const networked = new Set(groups.filter((g) => g.kind === 'network').flatMap((g) => g.markIds))
  const marks = own.map((mark) => {
    const own = numbers.get(mark.id)
    if (!own) return unplacedFinding(mark, journal, failures.get(mark.id) ?? { code: 'no-fit' })
    return judgeMark(own, {
      journal,
      chainAroundDeg: chainAroundDeg.get(mark.id) ?? 0,
      inNetwork: networked.has(mark.id),
      lineNear: mark.shape === 'area' && lineNear(surface, own.placed, [...numbers.values()]),
    })
  })
  const views = inspection.photos.flatMap((photo) => {
    const fit = photo.journalId === journal.id ? fitOf(fits, photo.id) : null
    return fit?.trusted && fit.rollKnown && fit.slideKnown ? [{ camera: fit.camera, ignore: leftOutOf(photo, fit) }] : []
  })
  const { coverage } = coverageOf(surface, journal.oilHoles, views)
  const concern: JournalConcern = worstConcern(marks.map((m) => m.concern))
  const strip = inspection.photos.flatMap((photo) => (photo.journalId === journal.id && fitOf(fits, photo.id)?.strip) || []).at(0)
  return { finding: { id: journal.id, concern, coverage, ...(strip && { strip: stripFinding(strip) }) }, marks, groups }
}

function stripFinding({ scale, skewMm, frontEdgeMm, zeroAngleDeg }: StripOfFit): NonNullable<JournalFinding['strip']> {
  return { scale, skewMm, frontEdgeMm, zeroAngleDeg }
}

function numbersOf(placed: PlacedMark, journal: Journal): MarkNumbers {
  const mouths = journal.oilHoles.map((hole) => mouthOf(placed.surface, hole))
  const measure = measureMark(placed.surface, mouths, placed.mark.shape, placed.vertices, {
    covariance: placed.covariance,
    stretch: ruleCard.values.stretchMm,
    boundFactor: placed.boundFactor,
  })
  return markNumbers(placed, measure)
}

/** Lines that share a frame: the journal's map, or one photograph whose roll or slide is unknown. */
function membersByFrame(all: readonly MarkNumbers[]): GroupMember[][] {
  const frames = new Map<string, GroupMember[]>()
  for (const { placed, tooShort } of all) {
    if (placed.mark.shape !== 'line' || tooShort || !placed.consistent) continue
    const member = groupMember(placed.surface, placed.mark.id, placed.vertices)
    if (!member) continue
    const frame = placed.rollKnown && placed.slideKnown ? 'map' : `photo ${placed.mark.photoId}`
    frames.set(frame, [...(frames.get(frame) ?? []), member])
  }
  return [...frames.values()]
}

function lineNear(surface: Surface, area: PlacedMark, all: readonly MarkNumbers[]): boolean {
  const outline = flatLine(surface, area.vertices)
  const turn = 2 * Math.PI * surface.radius
  return all.some(({ placed, measure }) => {
    if (!measure.directed || placed.mark.id === area.mark.id) return false
    const closing = placed.mark.shape === 'area' ? placed.vertices.slice(0, 1) : []
    const gap = gapToArea(outline, flatLine(surface, [...placed.vertices, ...closing]), turn)
    const slack = area.boundFactor * Math.hypot(placeSigma(placed), placeSigma(area))
    return atMost(gap - slack, ruleCard.values.pitLineGapMm)
  })
}

/** Root mean square of a vertex's deviation, mm. */
function placeSigma({ covariance, vertices }: PlacedMark): number {
  const size = 2 * vertices.length + 2
  let trace = 0
  for (let i = 0; i < 2 * vertices.length; i++) trace += covariance[i * size + i]
  return Math.sqrt(trace / (2 * vertices.length))
}

function photoFinding(id: string, outcome: FitOutcome | undefined): PhotoFinding {
  if (!outcome?.ok) {
    return {
      id,
      trusted: false,
      rollKnown: false,
      slideKnown: false,
      rmsPx: null,
      focalPx: null,
      k1: null,
      warnings: outcome ? failureWarnings(outcome.reason) : [{ code: 'fit-no-journal', text: 'Its journal is not known.' }],
    }
  }
  const { trusted, rollKnown, slideKnown, rmsPx, camera, warnings } = outcome.value
  return { id, trusted, rollKnown, slideKnown, rmsPx, focalPx: camera.focalPx, k1: camera.k1, warnings }
}

/** A printed strip that was not found is named whatever else failed. */
function failureWarnings(reason: FitFailure): Warning[] {
  if (reason.code === 'strip') return [reason.warning]
  const own = { code: `fit-${reason.code}`, text: failureText(reason) }
  return reason.code === 'not-placed' && reason.own.code === 'strip' ? [own, reason.own.warning] : [own]
}

function fitOf(fits: ReadonlyMap<string, FitOutcome>, photoId: string | undefined): Fit | null {
  const outcome = photoId === undefined ? undefined : fits.get(photoId)
  return outcome?.ok ? outcome.value : null
}

function statement(concern: JournalConcern): string {
  const close = 'Marks are what a person drew; this is no crack test. A qualified inspector decides by the engine maker’s limits.'
  switch (concern) {
    case 'treat-as-cracked':
      return `Treat as cracked: do not run it, and do not scrap it on this alone. ${close}`
    case 'hold':
      return `Hold: what is marked may be a crack; geometry cannot tell. ${close}`
    case 'record':
      return `Recorded: what is marked is kept for comparison. Nothing follows from that for the shaft. ${close}`
    case 'nothing-recorded':
      return `Nothing recorded. That does not mean the shaft is free of cracks. ${close}`
  }
}
