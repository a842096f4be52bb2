/** Faults that a schema cannot see: ids that name nothing or repeat, ends wider than the journal, holes and marks off it. */
import type { Fault } from '../model/fault'
import { jsonPath } from '../model/fault'
import type { Inspection } from '../model/inspection'
import type { Journal } from '../model/journal'
import type { Mark } from '../model/mark'
import type { Photo } from '../model/photo'
import { axialOfS, type Surface, sOfAxial, surfaceOf } from './surface'

type Key = string | number

/** Every fault of an inspection, in the order of the file. Works in the file's own units. */
export function inspectionFaults(inspection: Inspection): Fault[] {
  const faults: Fault[] = []
  const { journals, photos, marks, sizes } = inspection
  const report = (path: Key[], fault: string, remedy: string) => {
    faults.push({ path: jsonPath(path), fault, remedy })
  }
  const journalById = new Map(journals.map((j) => [j.id, j]))
  const photoById = new Map(photos.map((p) => [p.id, p]))

  repeated(journals, ['journals'], 'id', report)
  repeated(photos, ['photos'], 'id', report)
  repeated(marks, ['marks'], 'id', report)
  repeated(sizes, ['sizes'], 'journalId', report)

  journals.forEach((journal, i) => {
    for (const { path, fault, remedy } of journalFaults(journal, inspection.units)) report(['journals', i, ...path], fault, remedy)
  })
  photos.forEach((photo, i) => {
    const journal = journalById.get(photo.journalId)
    if (!journal) report(['photos', i, 'journalId'], `there is no journal ${quoted(photo.journalId)}`, 'name one of the file’s journals')
    else for (const { path, fault, remedy } of photoFaults(photo, journal)) report(['photos', i, ...path], fault, remedy)
  })
  marks.forEach((mark, i) => {
    const journal = journalById.get(mark.journalId)
    if (!journal) report(['marks', i, 'journalId'], `there is no journal ${quoted(mark.journalId)}`, 'name one of the file’s journals')
    const photo = mark.photoId === undefined ? undefined : photoById.get(mark.photoId)
    if (mark.photoId !== undefined && !photo)
      report(['marks', i, 'photoId'], `there is no photo ${quoted(mark.photoId)}`, 'name one of the file’s photos')
    if (photo && photo.journalId !== mark.journalId)
      report(
        ['marks', i, 'photoId'],
        `photo ${quoted(photo.id)} shows journal ${quoted(photo.journalId)}`,
        `name a photo of journal ${quoted(mark.journalId)}`,
      )
    for (const { path, fault, remedy } of markFaults(mark, journal, inspection.units)) report(['marks', i, ...path], fault, remedy)
  })
  sizes.forEach((row, i) => {
    const journal = journalById.get(row.journalId)
    if (!journal) report(['sizes', i, 'journalId'], `there is no journal ${quoted(row.journalId)}`, 'name one of the file’s journals')
    else
      row.readings.forEach((reading, k) => {
        if (reading.axial < 0 || reading.axial > journal.width)
          report(
            ['sizes', i, 'readings', k, 'axial'],
            `${reading.axial} ${inspection.units} lies off the journal (0 to ${journal.width})`,
            'give its distance from the front cheek',
          )
      })
  })
  for (const kind of ['pin', 'main'] as const) {
    const range = inspection.cut?.standard[kind]
    if (range && range[0] > range[1])
      report(['cut', 'standard', kind], `the range runs backwards (${range[0]} to ${range[1]})`, 'give the smaller size first')
  }
  return faults
}

type LocalFault = { path: Key[]; fault: string; remedy: string }

/** Faults of one journal: ends, holes. Paths start within the journal. */
export function journalFaults(journal: Journal, units: string): LocalFault[] {
  const faults: LocalFault[] = []
  const surface = surfaceOf(journal)
  const ends = surface.front.extentZ + surface.rear.extentZ
  if (ends > journal.width) {
    faults.push({
      path: ['width'],
      fault: `the journal is ${journal.width} ${units} wide, its two ends take ${round(ends)} ${units}`,
      remedy: 'give the width from cheek to cheek, or smaller ends',
    })
    return faults
  }
  const seen = new Map<string, number>()
  journal.oilHoles.forEach((hole, k) => {
    if (seen.has(hole.id))
      faults.push({
        path: ['oilHoles', k, 'id'],
        fault: `the id ${quoted(hole.id)} is used twice`,
        remedy: 'give each oil hole of a journal an id of its own',
      })
    seen.set(hole.id, k)
    if (hole.axial < 0 || hole.axial > journal.width)
      faults.push({
        path: ['oilHoles', k, 'axial'],
        fault: `the centre of oil hole ${quoted(hole.id)} at ${hole.axial} ${units} lies off the journal (0 to ${journal.width})`,
        remedy: 'give its distance from the front cheek',
      })
  })
  return faults
}

/** Faults of a photo's handles against its journal. Paths start within the photo. */
export function photoFaults(photo: Photo, journal: Journal): LocalFault[] {
  const faults: LocalFault[] = []
  const holes = new Set(journal.oilHoles.map((h) => h.id))
  photo.handles.oilHoles.forEach((handle, k) => {
    if (!holes.has(handle.id))
      faults.push({
        path: ['handles', 'oilHoles', k, 'id'],
        fault: `journal ${quoted(journal.id)} has no oil hole ${quoted(handle.id)}`,
        remedy: 'name one of its oil holes',
      })
  })
  photo.handles.rings.forEach((ring, k) => {
    if (typeof ring.at === 'number' && (ring.at < 0 || ring.at > journal.width))
      faults.push({
        path: ['handles', 'rings', k, 'at'],
        fault: `${ring.at} lies off the journal (0 to ${journal.width})`,
        remedy: 'give its distance from the front cheek',
      })
  })
  photo.handles.clock.forEach((clock, k) => {
    if (clock.axial < 0 || clock.axial > journal.width)
      faults.push({
        path: ['handles', 'clock', k, 'axial'],
        fault: `${clock.axial} lies off the journal (0 to ${journal.width})`,
        remedy: 'give its distance from the front cheek',
      })
  })
  return faults
}

/** Faults of one mark: its form, and places off the journal. Paths start within the mark. */
export function markFaults(mark: Mark, journal: Journal | undefined, units: string): LocalFault[] {
  const faults: LocalFault[] = []
  const least = mark.shape === 'area' ? 3 : 2
  const onMap = mark.points !== undefined
  const onPhoto = mark.pixels !== undefined || mark.photoId !== undefined
  if (onMap === onPhoto)
    faults.push({
      path: [],
      fault: `mark ${quoted(mark.id)} is drawn ${onMap ? 'twice' : 'nowhere'}`,
      remedy: 'give either points on the map, or photoId with pixels',
    })
  if (onPhoto && (mark.pixels === undefined || mark.photoId === undefined))
    faults.push({
      path: [mark.pixels === undefined ? 'pixels' : 'photoId'],
      fault: `mark ${quoted(mark.id)} has ${mark.pixels === undefined ? 'a photo but no pixels' : 'pixels but no photo'}`,
      remedy: 'give both photoId and pixels',
    })
  for (const list of ['points', 'pixels'] as const) {
    const count = mark[list]?.length
    if (count !== undefined && count < least)
      faults.push({
        path: [list],
        fault: `${mark.shape === 'area' ? 'an area' : 'a line'} needs at least ${least} points, this has ${count}`,
        remedy: 'add points, or take the mark out',
      })
  }
  if (!journal || !mark.points) return faults
  const surface = surfaceOf(journal)
  mark.points.forEach((point, k) => {
    const off = offJournal(surface, point, units)
    if (off)
      faults.push({
        path: ['points', k, 's' in point ? 's' : 'axial'],
        fault: `mark ${quoted(mark.id)} leaves the journal: ${off}`,
        remedy: 'end it at the cheek',
      })
    // an outline closes from its last point to its first
    const before = k > 0 || mark.shape === 'area' ? mark.points?.at(k - 1) : undefined
    if (before && Math.abs(point.angleDeg - before.angleDeg) >= 180)
      faults.push({
        path: ['points', k, 'angleDeg'],
        fault: 'this point lies 180 degrees or more from the one before',
        remedy: 'add a point between, or count on past 360',
      })
  })
  return faults
}

/** Rounding in a converted file may put a point a hair beyond the cheek. */
const hair = 1e-9

function offJournal(surface: Surface, point: { axial: number } | { s: number }, units: string): string | null {
  const [value, limit, what] = 's' in point ? [point.s, surface.totalS, 'of arc'] : [point.axial, surface.width, 'from the front cheek']
  return value < -hair || value > limit + hair ? `${value} ${units} ${what}, where the journal runs from 0 to ${round(limit)}` : null
}

/** Both readings of a map point's place along the meridian. */
export function alongOf(surface: Surface, point: { axial: number } | { s: number }): { axial: number; s: number } {
  return 's' in point ? { s: point.s, axial: axialOfS(surface, point.s) } : { axial: point.axial, s: sOfAxial(surface, point.axial) }
}

function repeated<Row extends { [K in Name]: string }, Name extends string>(
  rows: readonly Row[],
  path: Key[],
  name: Name,
  report: (path: Key[], fault: string, remedy: string) => void,
): void {
  const seen = new Set<string>()
  rows.forEach((row, i) => {
    if (seen.has(row[name])) report([...path, i, name], `the id ${quoted(row[name])} is used twice`, 'give each its own')
    seen.add(row[name])
  })
}

function quoted(text: string): string {
  return JSON.stringify(text)
}

function round(value: number): number {
  return Number(value.toFixed(4))
}
