'use client'
/** Every journal of the shaft as it is being typed, saved by itself as soon as it is whole and nothing would fall off it. */
import { useState } from 'react'
import { useUnits } from '@/components/ui/preferences'
import { useSaveQueue } from '@/components/ui/save-context'
import type { PendingWrite } from '@/components/ui/save-queue'
import { useShaft } from '@/components/ui/shaft-document'
import { withJournal } from '@/components/ui/shaft-rows'
import { journalWord } from '@/components/ui/shaft-words'
import type { Journal } from '@/lib/model/journal'
import type { JournalRow, ShaftDocument } from '@/lib/model/rows'
import { withChange } from './draft-change'
import { type DraftFaults, draftOf, type JournalDraft, journalOf } from './journal-draft'
import { whatWouldFallOff } from './journal-saving'

/** A journal whose typed sizes wait, because something would no longer lie on it. */
export type HeldJournal = { row: JournalRow; lines: string[] }

export function useJournalDrafts(document: ShaftDocument) {
  const units = useUnits()
  const queue = useSaveQueue()
  const { update } = useShaft()
  /** Only journals that were touched. */
  const [drafts, setDrafts] = useState<Record<string, JournalDraft>>({})
  const current = (row: JournalRow) => drafts[row.id] ?? draftOf(row.journal)

  function change(row: JournalRow, changed: JournalDraft, targets: readonly JournalRow[]) {
    const before = current(row)
    const next = { ...drafts }
    for (const target of targets) {
      const draft = target.id === row.id ? changed : withChange(current(target), before, changed)
      next[target.id] = draft
      const made = journalOf(draft, { name: target.journal.id, kind: target.journal.kind, kept: target.journal }, units)
      if (!made.ok || whatWouldFallOff(document, target.journal.id, made.value).length > 0) continue
      const journal = made.value
      update((was) => withJournal(was, { ...target, journal }))
      queue.put(journalWrite(target, journal))
    }
    setDrafts(next)
  }

  const held = document.journals.flatMap((row): HeldJournal[] => {
    const draft = drafts[row.id]
    if (!draft) return []
    const made = journalOf(draft, { name: row.journal.id, kind: row.journal.kind, kept: row.journal }, units)
    const lines = made.ok ? whatWouldFallOff(document, row.journal.id, made.value) : []
    return lines.length > 0 ? [{ row, lines }] : []
  })

  return {
    draftOf: current,
    faultsOf: (row: JournalRow): DraftFaults => {
      const draft = drafts[row.id]
      if (!draft) return {}
      const made = journalOf(draft, { name: row.journal.id, kind: row.journal.kind, kept: row.journal }, units)
      return made.ok ? {} : made.reason
    },
    held,
    change,
    /** Forgets what was typed since the journal was last saved. */
    putBack: (row: JournalRow) => setDrafts(({ [row.id]: _, ...others }) => others),
  }
}

/** The write that saves a journal. */
export function journalWrite(row: JournalRow, journal: Journal): PendingWrite {
  return {
    key: `journal:${row.id}`,
    label: journalWord(journal),
    method: 'PUT',
    path: `/api/journals/${row.id}`,
    body: { journal },
    version: row.version,
  }
}
