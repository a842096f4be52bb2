/** Flat lifts as rows: the points a person tapped, beside the kept picture. They are no part of the inspection file. */
import type { Lift } from '../model/lift'
import type { LiftRow } from '../model/rows'
import { database } from './database'
import type { Lift as LiftRecord, PhotoFile as FileRecord } from './generated/client'
import { columnsOnJournal, documentOnJournal } from './document-on-journal'
import { type Member, standingRows, tableOf } from './member'
import { photoFileOf, refuseOtherSize } from './photos'
import { memberFacts } from './row-facts'
import { shaftRowOf } from './shaft-row'

export type StoredLift = LiftRecord & { journal: { name: string }; file: FileRecord }

export const lifts: Member<Lift, StoredLift, LiftRow> = {
  kind: 'lift',
  table: (tx) => tableOf<StoredLift>(tx.lift, { journal: { select: { name: true } }, file: true }),
  columns: columnsOnJournal,
  nameOf: (lift) => lift.id,
  documentOf: documentOnJournal<Lift>,
  rowOf: (stored) => ({ ...memberFacts(stored), lift: documentOnJournal<Lift>(stored), file: photoFileOf(stored.file) }),
  refuse: (stored, value, path) => refuseOtherSize(stored.file, value, path),
}

/** The lifts of a shaft, in order. @throws AppError not-found */
export async function readLifts(shaftId: string): Promise<LiftRow[]> {
  const { client } = database()
  await shaftRowOf(client, shaftId)
  return standingRows(lifts, client, shaftId)
}
