'use client'
/** A shaft's set-up after it was put on the bench: what the tag says, and each journal with its exceptions. */
import { useState } from 'react'
import { Button, ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { useSaveQueue } from '@/components/ui/save-context'
import { useShaft } from '@/components/ui/shaft-document'
import { ShaftGate } from '@/components/ui/shaft-gate'
import { withJournal } from '@/components/ui/shaft-rows'
import { journalWord } from '@/components/ui/shaft-words'
import { Stops } from '@/components/ui/stops'
import { TextField } from '@/components/ui/text-field'
import type { Journal } from '@/lib/model/journal'
import type { JournalRow, ShaftDocument } from '@/lib/model/rows'
import { JournalDrawing } from './journal-drawing'
import { JournalForm } from './journal-form'
import { JournalList, type RemovedJournal } from './journal-list'
import styles from './setup.module.css'
import { ShaftDrawing } from './shaft-drawing'
import { counted, countSentence } from './shaft-layout'
import { StandardSizes } from './standard-sizes'
import { type HeldJournal, journalWrite, useJournalDrafts } from './use-journal-drafts'

export function SetupScreen() {
  const { round } = useShaft()
  const [chosenId, setChosenId] = useState<string | null>(null)
  const [removed, setRemoved] = useState<RemovedJournal[]>([])
  return (
    <ShaftGate>
      {(document) => (
        <SetupPage key={round} document={document} chosenId={chosenId} onChoose={setChosenId} removed={removed} onRemoved={setRemoved} />
      )}
    </ShaftGate>
  )
}

function SetupPage({
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
  const drafts = useJournalDrafts(document)
  const [scope, setScope] = useState<'one' | 'all'>('one')
  const row = document.journals.find((candidate) => candidate.id === chosenId) ?? document.journals[0]
  const alike = row ? document.journals.filter((other) => other.journal.kind === row.journal.kind) : []
  const scoped = scope === 'all' && alike.length > 1 ? alike : row ? [row] : []
  const draft = row ? drafts.draftOf(row) : null
  const kindWord = row?.journal.kind === 'pin' ? 'pins' : 'mains'
  return (
    <div className={styles.page}>
      <div className={styles.column}>
        <ShaftTag document={document} />
        <JournalList document={document} chosenId={row?.id ?? null} onChoose={onChoose} removed={removed} onRemoved={onRemoved} />
        {row && draft ? (
          <section className={`sheet ${styles.panel} ${styles.form}`} aria-label={journalWord(row.journal)}>
            <div className={styles.headLine}>
              <h2>{journalWord(row.journal)}</h2>
              {alike.length > 1 ? (
                <Stops
                  label="A change here is for"
                  value={scope}
                  onChange={setScope}
                  stops={[
                    { value: 'one', label: `${journalWord(row.journal).toLowerCase()} alone` },
                    { value: 'all', label: `all ${alike.length} ${kindWord}` },
                  ]}
                />
              ) : null}
            </div>
            {scope === 'all' && alike.length > 1 ? (
              <p className="note">
                Only what you change is carried over; what differs from {kindWord.slice(0, -1)} to {kindWord.slice(0, -1)} stays.
              </p>
            ) : null}
            <Name key={`${row.id}-name`} row={row} document={document} />
            <JournalForm
              key={row.id}
              kind={row.journal.kind}
              draft={draft}
              faults={drafts.faultsOf(row)}
              onChange={(changed) => drafts.change(row, changed, scoped)}
              notice={<Held held={drafts.held} onPutBack={drafts.putBack} />}
            />
            <p className={styles.line}>
              <ButtonLink kind="flat" href={`/shafts/${document.shaft.id}/strip?journal=${encodeURIComponent(row.journal.id)}`}>
                Make the printed strip
              </ButtonLink>
            </p>
          </section>
        ) : null}
        <div className={styles.go}>
          <ButtonLink kind="main" thumb href={`/shafts/${document.shaft.id}/sizes`}>
            Next: sizes
          </ButtonLink>
          <span className="note">Photographs, marks and readings stay when you change a journal.</span>
        </div>
      </div>
      <div className={styles.column}>
        <div className={styles.stays}>
          <section className={`sheet ${styles.panel} ${styles.shaftSheet}`}>
            <h2>{countSentence(document.journals.map((other) => other.journal))}</h2>
            <ShaftDrawing
              label={`The shaft from the side: ${countSentence(document.journals.map((other) => other.journal))}`}
              dimensioned={row?.journal.id}
              chosen={new Set(scoped.map((other) => other.journal.id))}
              journals={drawn(document.journals.map((other) => other.journal))}
            />
            <p className="note">{counted(document.journals.length, 'journal')} to measure and to photograph</p>
          </section>
          {row && draft ? (
            <section className={`sheet ${styles.panel} ${styles.journalSheet}`}>
              <h2>{journalWord(row.journal)}, true to scale</h2>
              <JournalDrawing draft={draft} word={journalWord(row.journal)} />
            </section>
          ) : null}
          <StandardSizes document={document} />
        </div>
      </div>
    </div>
  )
}

function Held({ held, onPutBack }: { held: readonly HeldJournal[]; onPutBack: (row: JournalRow) => void }) {
  return held.map(({ row, lines }) => (
    <div className={styles.gap} key={row.id}>
      <Notice
        weighty
        title={`${journalWord(row.journal)} is not saved: with this, something would no longer lie on it.`}
        acts={<Button onPress={() => onPutBack(row)}>Put the sizes back</Button>}
      >
        <ul>
          {lines.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
        <p className="note">Places in mm from the front cheek. Change or remove them first, then the sizes.</p>
      </Notice>
    </div>
  ))
}

function ShaftTag({ document }: { document: ShaftDocument }) {
  const queue = useSaveQueue()
  const { update } = useShaft()
  const row = document.shaft
  const [workOrder, setWorkOrder] = useState(row.shaft.id)
  const [label, setLabel] = useState(row.shaft.label)
  function save(shaft: { id: string; label: string }) {
    if (shaft.id === '') return
    update((before) => ({ ...before, shaft: { ...before.shaft, shaft } }))
    queue.put({
      key: `shaft:${row.id}`,
      label: 'The shaft’s tag',
      method: 'PUT',
      path: `/api/shafts/${row.id}`,
      body: { shaft, cut: row.cut },
      version: row.version,
    })
  }
  return (
    <section className={`sheet ${styles.panel}`}>
      <h1>Which shaft is it?</h1>
      <div className={styles.two}>
        <TextField
          label="Work order"
          value={workOrder}
          fault={workOrder.trim() === '' ? 'A shaft needs a work order. Until you type one, the old one stays.' : null}
          onChange={(next) => {
            setWorkOrder(next)
            save({ id: next.trim(), label })
          }}
        />
        <TextField
          label="What the tag says"
          value={label}
          onChange={(next) => {
            setLabel(next)
            if (workOrder.trim() !== '') save({ id: workOrder.trim(), label: next })
          }}
        />
      </div>
    </section>
  )
}

function Name({ row, document }: { row: ShaftDocument['journals'][number]; document: ShaftDocument }) {
  const queue = useSaveQueue()
  const { update } = useShaft()
  const [name, setName] = useState(row.journal.id)
  const tidy = name.trim()
  const taken = document.journals.some((other) => other.id !== row.id && other.journal.id === tidy)
  const fault =
    tidy === ''
      ? 'A journal needs a name, such as P1 or M1.'
      : taken
        ? `Another journal is called ${tidy}. Choose a name of its own.`
        : null
  return (
    <div className={styles.two}>
      <TextField
        label="Name"
        value={name}
        fault={fault}
        onChange={(next) => {
          setName(next)
          const id = next.trim()
          if (id === '' || document.journals.some((other) => other.id !== row.id && other.journal.id === id)) return
          const journal = { ...row.journal, id }
          update((before) => withJournal(before, { ...row, journal }))
          queue.put(journalWrite(row, journal))
        }}
      />
      <div />
    </div>
  )
}

/** Pins take their throws in turn, as nothing in the file says more; the two halves of a split pin share one. */
function drawn(journals: readonly Journal[]) {
  let throwIndex = -1
  return journals.map((journal, index) => {
    if (journal.kind === 'main')
      return { name: journal.id, kind: journal.kind, throwIndex: null, diameter: journal.diameter, width: journal.width }
    const before = journals[index - 1]
    const split = before?.kind === 'pin' && before.fillets.rear.form === 'step' && journal.fillets.front.form === 'step'
    if (!split) throwIndex += 1
    return { name: journal.id, kind: journal.kind, throwIndex, diameter: journal.diameter, width: journal.width }
  })
}
