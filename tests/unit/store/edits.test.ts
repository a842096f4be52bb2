/** Gestures on a kept shaft: all or nothing, each row against its version, what is removed can be put back. */
import { randomUUID } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { AppError } from '../../../lib/model/app-error'
import type { Edit, EditedRow } from '../../../lib/model/edit'
import { database } from '../../../lib/store/database'
import { readDocument } from '../../../lib/store/document'
import { applyEdits } from '../../../lib/store/edits'
import { createShaft, listShafts, removeShaft, restoreShaft } from '../../../lib/store/shafts'
import { benchShaft, line, pin } from './bench-shaft'
import { type KeptData, keptData } from './kept-data'

let data: KeptData
beforeAll(async () => {
  data = await keptData()
})
afterAll(() => data.dispose())

const now = new Date('2026-01-02T03:04:05.678Z')

async function refusal(work: Promise<unknown>): Promise<AppError> {
  const error = await work.then(
    () => null,
    (reason) => reason,
  )
  expect(error).toBeInstanceOf(AppError)
  return error as AppError
}

describe('a gesture', () => {
  it('writes all of its edits and answers the rows as they stand', async () => {
    const { shaftId, journalId, markId } = await benchShaft()
    const rows = await applyEdits(
      shaftId,
      [
        { op: 'update', kind: 'journal', id: journalId, version: 1, value: pin({ width: 31 }) },
        { op: 'update', kind: 'mark', id: markId, version: 1, value: line({ note: 'longer' }) },
        {
          op: 'create',
          kind: 'sizes',
          id: randomUUID(),
          value: { journalId: 'P1', readings: [{ axial: 6, angleDeg: 0, diameter: 57.13 }] },
        },
      ],
      now,
    )
    expect(rows.map(({ kind, row }) => [kind, row.version])).toEqual([
      ['journal', 2],
      ['mark', 2],
      ['sizes', 1],
    ])
    expect(rows[0]?.row.updatedAt).toBe(now.toISOString())
    const document = await readDocument(shaftId)
    expect(document.journals[0]?.journal.width).toBe(31)
    expect(document.sizes).toHaveLength(1)
  })

  it('writes nothing when one of its rows is stale, and answers every newer row', async () => {
    const { shaftId, journalId, markId } = await benchShaft()
    await applyEdits(shaftId, [{ op: 'update', kind: 'mark', id: markId, version: 1, value: line({ note: 'first' }) }], now)
    const before = await readDocument(shaftId)
    const stale: Edit[] = [
      { op: 'update', kind: 'journal', id: journalId, version: 1, value: pin({ width: 33 }) },
      { op: 'update', kind: 'mark', id: markId, version: 1, value: line({ note: 'second' }) },
    ]
    const { code, current } = await refusal(applyEdits(shaftId, stale, now))
    expect(code).toBe('stale')
    const { rows } = current as { rows: EditedRow[] }
    expect(rows).toMatchObject([{ kind: 'mark', row: { id: markId, version: 2, mark: { note: 'first' } } }])
    expect(await readDocument(shaftId)).toEqual(before)
  })

  it('lets one of two windows win and tells the other', async () => {
    const { shaftId, markId } = await benchShaft()
    const write = (note: string) =>
      applyEdits(shaftId, [{ op: 'update', kind: 'mark', id: markId, version: 1, value: line({ note }) }], now)
    const outcomes = await Promise.allSettled(['a', 'b', 'c', 'd', 'e', 'f'].map(write))
    expect(outcomes.filter(({ status }) => status === 'fulfilled')).toHaveLength(1)
    for (const outcome of outcomes) if (outcome.status === 'rejected') expect(outcome.reason).toMatchObject({ code: 'stale' })
    expect((await readDocument(shaftId)).marks[0]?.version).toBe(2)
  })

  it('refuses what an inspection file may not hold, with the path in the request, and keeps nothing of it', async () => {
    const { shaftId, markId } = await benchShaft()
    const before = await readDocument(shaftId)
    const points = [
      { angleDeg: 0, axial: 5 },
      { angleDeg: 10, axial: 80 },
    ]
    const edits: Edit[] = [
      { op: 'create', kind: 'journal', id: randomUUID(), value: pin({ id: 'P2' }) },
      { op: 'update', kind: 'mark', id: markId, version: 1, value: line({ points }) },
    ]
    const { code, path } = await refusal(applyEdits(shaftId, edits, now))
    expect([code, path]).toEqual(['bad-input', '$.edits[1].value.points[1].axial'])
    expect(await readDocument(shaftId)).toEqual(before)
  })

  it('refuses a reference to nothing and a name that is taken', async () => {
    const { shaftId } = await benchShaft()
    const create = (value: ReturnType<typeof line>): Edit => ({ op: 'create', kind: 'mark', id: randomUUID(), value })
    expect(await refusal(applyEdits(shaftId, [create(line({ id: 'k2', journalId: 'P9' }))], now))).toMatchObject({
      code: 'bad-input',
      path: '$.edits[0].value.journalId',
    })
    expect(await refusal(applyEdits(shaftId, [create(line())], now))).toMatchObject({ code: 'conflict' })
  })

  it('does not reach rows of another shaft', async () => {
    const [one, other] = [await benchShaft(), await benchShaft()]
    const edit: Edit = { op: 'remove', kind: 'mark', id: other.markId, version: 1 }
    expect(await refusal(applyEdits(one.shaftId, [edit], now))).toMatchObject({ code: 'not-found' })
    expect((await readDocument(other.shaftId)).marks).toHaveLength(1)
  })
})

describe('a repeated request', () => {
  it('is harmless when it says the same, refused when it does not', async () => {
    const { shaftId, markId } = await benchShaft()
    const again: Edit = { op: 'create', kind: 'mark', id: markId, value: line() }
    expect((await applyEdits(shaftId, [again], now))[0]?.row.version).toBe(1)
    const other: Edit = { op: 'create', kind: 'mark', id: markId, value: line({ note: 'else' }) }
    expect(await refusal(applyEdits(shaftId, [other], now))).toMatchObject({ code: 'conflict' })
    expect((await readDocument(shaftId)).marks).toHaveLength(1)
  })

  it('makes one shaft of two posts', async () => {
    const shaft = { id: randomUUID(), shaft: { id: 'S7', label: '' }, cut: null, journals: [{ id: randomUUID(), journal: pin() }] }
    expect((await createShaft(shaft, now)).made).toBe(true)
    const { document, made } = await createShaft(shaft, now)
    expect([made, document.journals.length]).toEqual([false, 1])
    expect(await refusal(createShaft({ ...shaft, shaft: { id: 'S8', label: '' } }, now))).toMatchObject({ code: 'conflict' })
  })
})

describe('removal', () => {
  it('takes along what hangs on a journal, and putting it back brings the same', async () => {
    const { shaftId, journalId, markId } = await benchShaft()
    const photo = { ...photoOf('ph1'), journalId: 'P1' }
    const drawn = line({
      id: 'k2',
      points: undefined,
      photoId: 'ph1',
      pixels: [
        [1, 1],
        [5, 5],
      ],
    })
    await applyEdits(
      shaftId,
      [
        { op: 'create', kind: 'photo', id: randomUUID(), value: photo },
        { op: 'create', kind: 'mark', id: randomUUID(), value: drawn },
      ],
      now,
    )
    const before = await readDocument(shaftId)
    const gone = await applyEdits(shaftId, [{ op: 'remove', kind: 'journal', id: journalId, version: 1 }], now)
    expect(gone.map(({ kind }) => kind).sort()).toEqual(['journal', 'mark', 'mark', 'photo'])
    expect(await readDocument(shaftId)).toMatchObject({ journals: [{ journal: { id: 'M1' } }], photos: [], marks: [] })
    const alone = applyEdits(shaftId, [{ op: 'restore', kind: 'mark', id: markId, version: 2 }], now)
    expect(await refusal(alone)).toMatchObject({ code: 'conflict' })
    await applyEdits(shaftId, [{ op: 'restore', kind: 'journal', id: journalId, version: 2 }], now)
    const after = await readDocument(shaftId)
    expect(after.marks.map(({ mark }) => mark)).toEqual(before.marks.map(({ mark }) => mark))
    expect(after.photos.map((row) => row.photo)).toEqual(before.photos.map((row) => row.photo))
    expect(after.journals.map(({ journal }) => journal)).toEqual(before.journals.map(({ journal }) => journal))
  })

  it('frees a name; putting back does not take it from its new holder', async () => {
    const { shaftId, markId } = await benchShaft()
    await applyEdits(shaftId, [{ op: 'remove', kind: 'mark', id: markId, version: 1 }], now)
    const other = randomUUID()
    await applyEdits(shaftId, [{ op: 'create', kind: 'mark', id: other, value: line() }], now)
    const back: Edit = { op: 'restore', kind: 'mark', id: markId, version: 2 }
    expect(await refusal(applyEdits(shaftId, [back], now))).toMatchObject({ code: 'conflict' })
    expect((await readDocument(shaftId)).marks.map(({ id }) => id)).toEqual([other])
  })

  it('hides a shaft from the list until it is put back', async () => {
    const { shaftId } = await benchShaft()
    await removeShaft(shaftId, 1, now)
    const standing = async () => (await listShafts()).some(({ shaft }) => shaft.id === shaftId)
    expect(await standing()).toBe(false)
    expect(await refusal(readDocument(shaftId))).toMatchObject({ code: 'not-found' })
    expect(await refusal(restoreShaft(shaftId, 1, now))).toMatchObject({ code: 'stale' })
    await restoreShaft(shaftId, 2, now)
    expect(await standing()).toBe(true)
  })
})

describe('renaming a journal', () => {
  it('renames it in every document that refers to it', async () => {
    const { shaftId, journalId } = await benchShaft()
    await applyEdits(shaftId, [{ op: 'update', kind: 'journal', id: journalId, version: 1, value: pin({ id: 'pin one' }) }], now)
    const { marks } = await readDocument(shaftId)
    expect(marks.map(({ mark }) => mark.journalId)).toEqual(['pin one'])
    expect(marks[0]?.version).toBe(1)
  })
})

describe('the database', () => {
  it('keeps foreign keys on and writes ahead', async () => {
    const { client } = database()
    expect(await client.$queryRawUnsafe('PRAGMA foreign_keys')).toEqual([{ foreign_keys: 1 }])
    expect(await client.$queryRawUnsafe('PRAGMA journal_mode')).toEqual([{ journal_mode: 'wal' }])
    const stray = client.journal.create({
      data: { id: randomUUID(), shaftId: randomUUID(), name: 'x', document: '{}', position: 1, version: 1, updatedAt: now },
    })
    await expect(stray).rejects.toThrow(/foreign key/i)
  })

  it('finds shafts by parts of name and label, whatever the case', async () => {
    const id = randomUUID()
    await createShaft({ id, shaft: { id: 'W-77', label: 'Ölpumpe of a Heron' }, cut: null, journals: [] }, now)
    const found = async (words: string) => (await listShafts(words)).map(({ shaft }) => shaft.id)
    expect(await found('heron')).toEqual([id])
    expect(await found('ÖLPUMPE')).toEqual([id])
    expect(await found('w-77')).toEqual([id])
    expect(await found('no such words')).toEqual([])
  })
})

function photoOf(id: string) {
  const handles = { sides: [[], []] as [[], []], rings: [], oilHoles: [], clock: [], strip: null }
  return { id, journalId: 'P1', width: 4000, height: 3000, focalPx: null, k1: 0, handles, ignore: [] }
}
