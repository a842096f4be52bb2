/** A shaft read whole, and as the inspection file that it is equal to. */
import { readInspection } from '../journal/read-inspection'
import { AppError, badInput } from '../model/app-error'
import type { InspectionMm } from '../model/inspection'
import type { Lens, ShaftDocument } from '../model/rows'
import { database, type Transaction } from './database'
import { journals } from './journals'
import { marks } from './marks'
import { standingRows } from './member'
import { photos } from './photos'
import { shaftRowOf } from './shaft-row'
import { sizes } from './sizes'

/** @throws AppError not-found when there is no such shaft, or it was removed */
export async function readDocument(shaftId: string, tx: Transaction = database().client): Promise<ShaftDocument> {
  const shaft = await shaftRowOf(tx, shaftId)
  if (shaft.removedAt !== null) throw new AppError('not-found', 'This shaft was removed; put it back from the list of shafts.')
  return {
    shaft,
    journals: await standingRows(journals, tx, shaftId),
    photos: await standingRows(photos, tx, shaftId),
    marks: await standingRows(marks, tx, shaftId),
    sizes: await standingRows(sizes, tx, shaftId),
  }
}

/** The inspection that a shaft's rows hold, lengths in mm. */
export function inspectionOf(document: ShaftDocument): InspectionMm {
  return {
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: document.shaft.shaft,
    journals: document.journals.map((row) => row.journal),
    photos: document.photos.map((row) => row.photo),
    marks: document.marks.map((row) => row.mark),
    sizes: document.sizes.map((row) => row.sizes),
    ...(document.shaft.cut && { cut: document.shaft.cut }),
  }
}

/** What EXIF said of the lens, by the photo's name. */
export function lensByPhoto(document: ShaftDocument): Record<string, Lens | null> {
  return Object.fromEntries(document.photos.map((row) => [row.photo.id, row.file?.lens ?? null]))
}

/**
 * Checks a shaft as an inspection file is checked, so that what is kept can always be exported and read again.
 * @param at where a row's value stands in the request, null where the request does not hold it
 * @throws AppError bad-input, the faults' paths pointing into the request where they can
 */
export async function refuseFaultyShaft(tx: Transaction, shaftId: string, at: (rowId: string) => string | null): Promise<void> {
  const document = await readDocument(shaftId, tx)
  const read = readInspection(inspectionOf(document))
  if (read.ok) return
  throw badInput(
    read.reason.map((fault) => {
      const [, list, index, rest] = /^\$\.(journals|photos|marks|sizes)\[(\d+)\](.*)$/.exec(fault.path) ?? []
      const row = list && document[list as 'journals' | 'photos' | 'marks' | 'sizes'][Number(index)]
      const path = row ? at(row.id) : null
      return path === null ? fault : { ...fault, path: `${path}${rest}` }
    }),
  )
}
