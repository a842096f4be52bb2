'use client'
/** Which shaft it is, and what can be counted on it: by cylinders and throws, or journal by journal. */
import { Button } from '@/components/ui/button'
import { Stops } from '@/components/ui/stops'
import { TextField } from '@/components/ui/text-field'
import { journalsOf, type NewShaftDraft, type NewShaftFaults } from './new-shaft-draft'
import styles from './setup.module.css'
import { cylinderChoices } from './shaft-layout'

export function WhichShaft({
  draft,
  faults,
  onChange,
}: {
  draft: NewShaftDraft
  faults: NewShaftFaults
  onChange: (draft: NewShaftDraft) => void
}) {
  const planned = journalsOf(draft)
  const byHand = draft.counting === 'journals'
  const throwCount = draft.throws === 'one' ? draft.cylinders : Math.ceil(draft.cylinders / 2)
  return (
    <section className={`sheet ${styles.panel}`}>
      <h1>Which shaft is it?</h1>
      <div className={styles.two}>
        <TextField
          label="Work order"
          value={draft.workOrder}
          fault={faults.workOrder}
          onChange={(workOrder) => onChange({ ...draft, workOrder })}
        />
        <TextField label="What the tag says" value={draft.label} onChange={(label) => onChange({ ...draft, label })} />
      </div>
      <div className={styles.line}>
        <span className={styles.lineName}>Count</span>
        <Stops
          label="Count"
          value={draft.counting}
          onChange={(counting) =>
            onChange({ ...draft, counting, kinds: counting === 'journals' ? planned.map((journal) => journal.kind) : draft.kinds })
          }
          stops={[
            { value: 'cylinders', label: 'by cylinders' },
            { value: 'journals', label: 'journal by journal' },
          ]}
        />
      </div>
      {byHand ? (
        <JournalByJournal draft={draft} fault={faults.journals} onChange={onChange} />
      ) : (
        <>
          <div className={styles.line}>
            <span className={styles.lineName}>Cylinders</span>
            <Stops
              label="Cylinders"
              wraps
              value={String(draft.cylinders)}
              onChange={(cylinders) => onChange({ ...draft, cylinders: Number(cylinders) })}
              stops={cylinderChoices.map((count) => ({ value: String(count), label: String(count) }))}
            />
          </div>
          <div className={styles.line}>
            <span className={styles.lineName}>Throws</span>
            <Stops
              label="Throws"
              wraps
              value={draft.throws}
              onChange={(throws) => onChange({ ...draft, throws })}
              stops={[
                { value: 'one', label: 'one to a pin' },
                { value: 'two', label: 'two share a pin' },
                { value: 'split', label: 'split pins' },
              ]}
            />
          </div>
          {throwCount > 1 ? (
            <div className={styles.line}>
              <span className={styles.lineName}>Mains</span>
              <Stops
                label="Mains"
                wraps
                value={String(draft.mainsEvery)}
                onChange={(every) => onChange({ ...draft, mainsEvery: every === '1' ? 1 : 2 })}
                stops={[
                  { value: '1', label: 'after every throw' },
                  { value: '2', label: 'after every second' },
                ]}
              />
            </div>
          ) : null}
        </>
      )}
      <p className="note">Firing order and throw angles are not needed.</p>
    </section>
  )
}

function JournalByJournal({
  draft,
  fault,
  onChange,
}: {
  draft: NewShaftDraft
  fault: string | undefined
  onChange: (draft: NewShaftDraft) => void
}) {
  const planned = journalsOf(draft)
  return (
    <>
      <p className="note">Front to rear, as they stand on the shaft.</p>
      <ol className={styles.journals} aria-label="Journals, front to rear">
        {planned.map((journal, index) => (
          <li key={journal.name} className={styles.journalRow}>
            <span className="cut">{journal.name}</span>
            <Button
              kind="flat"
              label={`Take ${journal.name} out`}
              onPress={() => onChange({ ...draft, kinds: draft.kinds.filter((_, place) => place !== index) })}
            >
              Take out
            </Button>
          </li>
        ))}
      </ol>
      {fault ? <p className="field-word">{fault}</p> : null}
      <div className={styles.journals}>
        <Button onPress={() => onChange({ ...draft, kinds: [...draft.kinds, 'main'] })}>Add a main</Button>
        <Button onPress={() => onChange({ ...draft, kinds: [...draft.kinds, 'pin'] })}>Add a pin</Button>
      </div>
    </>
  )
}
