'use client'
/** The findings of the journal on the bench, worst first, the tag of the mark in hand open; and marks typed as measured. */
import { type ReactNode, useState } from 'react'
import type { BenchStore } from '@/components/editor/bench-store'
import { markLetter } from '@/components/editor/mark-names'
import type { JournalBenchState } from '@/components/editor/use-journal-bench'
import { draftRowId } from '@/components/editor/use-bench-tools'
import { journalWordWithin } from '@/components/ui/shaft-words'
import { FindingTag } from './finding-tag'
import styles from './findings-side.module.css'
import { groupWords } from './finding-words'
import { MarkDetails } from './mark-details'
import { NothingRecorded } from './nothing-recorded'
import { TypedMarkForm } from './typed-mark-form'

export function FindingsSide({
  bench,
  store,
  shaftId,
  children,
}: {
  bench: JournalBenchState
  store: BenchStore
  shaftId: string
  /** Work on the journal's surface that leads to findings, above them. */
  children?: ReactNode
}) {
  const { shown, live, tools, open } = bench
  const journal = live.row.value
  const [typing, setTyping] = useState(false)
  const remove = (rowId: string) => {
    const row = live.marks.find((mark) => mark.id === rowId)
    if (row) store.perform(`Remove mark ${markLetter(row.value)}`, [{ kind: 'mark', id: row.id, before: row.value, after: null }])
  }
  return (
    <section className={styles.side} aria-label={`Findings on ${journalWordWithin(journal)}`}>
      <h2>Findings on {journalWordWithin(journal)}</h2>
      {children ? <div className={styles.work}>{children}</div> : null}
      {shown.length === 0 ? <NothingRecorded findings={live.findings} journal={journal} photos={live.photos.length} /> : null}
      <ol className={styles.tags}>
        {shown.map(({ row, finding }) => {
          const isOpen = open?.row.id === row.id
          const drawn = row.id !== draftRowId
          return (
            <FindingTag
              key={row.id}
              letter={markLetter(row.value)}
              finding={finding}
              open={isOpen}
              onToggle={() => drawn && tools.chooseMark(isOpen ? null : row.id)}
              href={drawn ? `/shafts/${shaftId}/findings/${encodeURIComponent(row.value.id)}` : null}
            >
              {drawn ? (
                <MarkDetails row={row} store={store} onRemove={() => remove(row.id)} />
              ) : (
                <span className="note">Being drawn. Keep it to write down touch and what you saw.</span>
              )}
            </FindingTag>
          )
        })}
      </ol>
      {live.findings.groups.map((group) => (
        <p key={group.id} className="note">
          {groupWords[group.kind](group.markIds.map((id) => markLetter({ id, journalId: journal.id })).join(', '))}
        </p>
      ))}
      <details className={styles.typed} open={typing} onToggle={(event) => setTyping(event.currentTarget.open)}>
        <summary>Type a mark as measured</summary>
        {typing ? <TypedMarkForm model={live} store={store} onMade={tools.chooseMark} /> : null}
      </details>
      <p className={`note ${styles.foot}`}>
        Marks are what a person drew; this is no crack test. Nothing here clears a shaft: you decide. ± is 95 %.
      </p>
    </section>
  )
}
