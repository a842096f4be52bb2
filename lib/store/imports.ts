/** A shaft from an inspection file or a bundle: everything is checked first, then written in one transaction. */
import { randomUUID } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import { readInspectionText } from '../journal/read-inspection'
import { AppError, badInput } from '../model/app-error'
import type { InspectionMm } from '../model/inspection'
import type { Lift } from '../model/lift'
import type { ShaftDocument } from '../model/rows'
import { inTurn, type Transaction } from './database'
import { inspectionOf, readDocument } from './document'
import { journals } from './journals'
import { keptLiftPictures, liftsFile, readLiftsText } from './lift-bundle'
import { lifts } from './lifts'
import { marks } from './marks'
import { addRow, type Member, type MemberRecord, standingRows } from './member'
import { type KeptPicture, keepPicture, recordFile } from './photo-intake'
import { photos, refuseOtherSize } from './photos'
import { insertShaft } from './shafts'
import { sizes } from './sizes'
import { isZip, readArchive } from './zip'

export type Imported = { document: ShaftDocument; photosAbsent: string[]; made: boolean }

/**
 * Reads an inspection file or a bundle (told apart by content) and puts its shaft on the bench.
 * @param id the shaft's row id, made by the client; the same import again under it is harmless
 * @throws AppError bad-input with the JSON path, unsupported-picture, too-large, conflict
 */
export async function importShaft(bytes: Uint8Array, id: string, now: Date): Promise<Imported> {
  const archive = isZip(bytes) ? readArchive(bytes) : { inspection: textOf(bytes), files: new Map<string, Uint8Array>() }
  const read = readInspectionText(archive.inspection)
  if (!read.ok) throw badInput(read.reason)
  const text = archive.files.get(liftsFile)
  const brought = text === undefined ? [] : readLiftsText(text, read.value, archive.files)
  const pictures = await keptPictures(read.value, archive.files)
  return writeInspection(read.value, id, await keptLiftPictures(brought, archive.files, pictures), now, brought)
}

/** Pictures by the name that `photos[].file` gives; each is checked and kept before any row is written. */
export async function keptPictures(inspection: InspectionMm, files: ReadonlyMap<string, Uint8Array>): Promise<Map<string, KeptPicture>> {
  const kept = new Map<string, KeptPicture>()
  for (const [index, photo] of inspection.photos.entries()) {
    const bytes = photo.file === undefined ? undefined : files.get(photo.file)
    if (photo.file === undefined || bytes === undefined) continue
    const picture = kept.get(photo.file) ?? (await keepPicture(photo.file, bytes))
    refuseOtherSize(picture, photo, `$.photos[${index}]`)
    kept.set(photo.file, picture)
  }
  return kept
}

export async function writeInspection(
  inspection: InspectionMm,
  id: string,
  pictures: ReadonlyMap<string, KeptPicture>,
  now: Date,
  brought: readonly Lift[] = [],
): Promise<Imported> {
  const photosAbsent = inspection.photos.filter((photo) => !pictures.has(photo.file ?? '')).map((photo) => photo.id)
  return inTurn(async (tx) => {
    const made = await insertShaft(tx, { id, shaft: inspection.shaft, cut: inspection.cut ?? null }, now)
    if (made) await insertMembers(tx, { inspection, brought }, id, pictures, now)
    const document = await readDocument(id, tx)
    const stands = { inspection: inspectionOf(document), lifts: (await standingRows(lifts, tx, id)).map((row) => row.lift) }
    if (!made && !isDeepStrictEqual(stands, plain({ inspection, lifts: brought }))) {
      throw new AppError('conflict', `The id ${id} already stands for another shaft; make a new id.`)
    }
    return { document, photosAbsent, made }
  })
}

async function insertMembers(
  tx: Transaction,
  { inspection, brought }: { inspection: InspectionMm; brought: readonly Lift[] },
  shaftId: string,
  pictures: ReadonlyMap<string, KeptPicture>,
  now: Date,
): Promise<void> {
  const add = async <Value, Stored extends MemberRecord, Row>(
    member: Member<Value, Stored, Row>,
    list: string,
    values: readonly Value[],
    more?: (value: Value) => object,
  ) => {
    for (const [index, value] of values.entries()) {
      const row = { id: randomUUID(), shaftId, position: index + 1, value, more: more?.(value), path: `$.${list}[${index}]` }
      await addRow(member, tx, row, now)
    }
  }
  for (const picture of pictures.values()) await recordFile(tx, picture, now)
  await add(journals, 'journals', inspection.journals)
  await add(photos, 'photos', inspection.photos, (photo) => ({ fileSha256: pictures.get(photo.file ?? '')?.sha256 ?? null }))
  await add(marks, 'marks', inspection.marks)
  await add(sizes, 'sizes', inspection.sizes)
  await add(lifts, 'lifts', brought, (lift) => ({ fileSha256: pictures.get(lift.file)?.sha256 }))
}

/** As it stands after a turn through JSON text: keys without a value are gone. */
function plain(brought: { inspection: InspectionMm; lifts: readonly Lift[] }): unknown {
  return JSON.parse(JSON.stringify(brought))
}

function textOf(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    throw badInput([{ path: '$', fault: 'is neither an inspection file nor a bundle', remedy: 'choose a JSON file in UTF-8, or a zip' }])
  }
}
