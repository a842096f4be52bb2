'use client'
/** The journals front to rear: choose one, add one after it, take one out and put it back. */
import { useState } from 'react'
import { type ApiFailure, apiRequest, failureSentence } from '@/components/ui/api-client'
import { Button } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { useShaft } from '@/components/ui/shaft-document'
import { journalWord } from '@/components/ui/shaft-words'
import { Stops } from '@/components/ui/stops'
import { type Edit, editedRowsSchema } from '@/lib/model/edit'
import type { Journal } from '@/lib/model/journal'
import type { JournalRow, ShaftDocument } from '@/lib/model/rows'
import styles from './setup.module.css'

/** Taken out, and still to be put back until the page is left. */
export type RemovedJournal = { id: string; version: number; word: string }

export function JournalList({
  document,
  chosenId,
  onChoose,
  removed,
  onRemoved,
}: {
  document: ShaftDocument
  chosenId: string | null
  onChoose: (id: string) => void
  removed: readonly RemovedJournal[]
  onRemoved: (removed: RemovedJournal[]) => void
}) {
  const { reload } = useShaft()
  const [failure, setFailure] = useState<ApiFailure | null>(null)
  const chosen = document.journals.find((row) => row.id === chosenId)

  async function send(edits: Edit[]) {
    const answer = await apiRequest(editedRowsSchema, { method: 'POST', path: `/api/shafts/${document.shaft.id}/edits`, body: { edits } })
    setFailure(answer.ok ? null : answer.reason)
    if (answer.ok) reload()
    return answer.ok ? answer.value.rows : null
  }

  async function takeOut(row: JournalRow) {
    const rows = await send([{ op: 'remove', kind: 'journal', id: row.id, version: row.version }])
    const gone = rows?.find((edited) => edited.row.id === row.id)
    if (gone) onRemoved([...removed, { id: row.id, version: gone.row.version, word: journalWord(row.journal) }])
  }

  async function putBack(entry: RemovedJournal) {
    const rows = await send([{ op: 'restore', kind: 'journal', id: entry.id, version: entry.version }])
    if (rows) onRemoved(removed.filter((other) => other.id !== entry.id))
  }

  return (
    <section className={`sheet ${styles.panel}`} aria-label="Journals">
      <h2>Journals, front to rear</h2>
      <Stops
        label="Journal"
        wraps
        value={chosenId}
        onChange={onChoose}
        stops={document.journals.map((row) => ({ value: row.id, label: row.journal.id, spoken: journalWord(row.journal) }))}
      />
      <div className={styles.journals}>
        {(['main', 'pin'] as const).map((kind) => (
          <Button
            key={kind}
            onPress={() => send(additionAfter(document, chosen, kind))}
            notYet={chosen ? undefined : 'Not yet: choose a journal'}
          >
            Add a {kind}
            {chosen ? ` after ${chosen.journal.id}` : ''}
          </Button>
        ))}
        {chosen ? (
          <Button kind="flat" onPress={() => takeOut(chosen)}>
            Take {chosen.journal.id} out
          </Button>
        ) : null}
      </div>
      {removed.map((entry) => (
        <div className={styles.gap} key={entry.id}>
          <Notice
            title={`${entry.word} is gone, with its photographs, marks and readings.`}
            acts={<Button onPress={() => putBack(entry)}>Put it back</Button>}
          />
        </div>
      ))}
      {failure ? (
        <div className={styles.gap}>
          <Notice weighty urgent title="That was not done.">
            <p>{failureSentence(failure)}</p>
          </Notice>
        </div>
      ) : null}
    </section>
  )
}

/** A new journal like the nearest of its kind, in the place behind the chosen one; those behind move up, in the same gesture. */
function additionAfter(document: ShaftDocument, chosen: JournalRow | undefined, kind: Journal['kind']): Edit[] {
  if (!chosen) return []
  const rows = document.journals
  const place = rows.indexOf(chosen)
  const like = nearest(rows, place, kind)
  const journal: Journal = { ...like.journal, kind, id: freeName(rows, kind), strip: undefined }
  const moved = rows.slice(place + 1).map((row, index): Edit => {
    const { id, version, journal: value } = row
    return { op: 'update', kind: 'journal', id, version, position: chosen.position + 2 + index, value }
  })
  return [{ op: 'create', kind: 'journal', id: crypto.randomUUID(), position: chosen.position + 1, value: journal }, ...moved]
}

function nearest(rows: readonly JournalRow[], place: number, kind: Journal['kind']): JournalRow {
  const same = rows
    .map((row, index) => ({ row, far: Math.abs(index - place) }))
    .filter(({ row }) => row.journal.kind === kind)
    .sort((a, b) => a.far - b.far)
  return (same[0]?.row ?? rows[place]) as JournalRow
}

function freeName(rows: readonly JournalRow[], kind: Journal['kind']): string {
  const letter = kind === 'pin' ? 'P' : 'M'
  let number = 1
  while (rows.some((row) => row.journal.id === `${letter}${number}`)) number += 1
  return `${letter}${number}`
}
