'use client'
/** A new shaft in under a minute: which it is, what can be counted on it, pins, mains. */
import { useRouter } from 'next/navigation'
import { useEffect, useRef, useState } from 'react'
import { apiRequest, type ApiFailure, failureSentence } from '@/components/ui/api-client'
import { Button } from '@/components/ui/button'
import { LengthField } from '@/components/ui/length-field'
import { Notice } from '@/components/ui/notice'
import { useUnits } from '@/components/ui/preferences'
import { Shell } from '@/components/ui/shell'
import { Stops } from '@/components/ui/stops'
import { usualLengths } from '@/lib/model/likely-length'
import { shaftDocumentSchema } from '@/lib/model/rows'
import { JournalDrawing } from './journal-drawing'
import { JournalForm } from './journal-form'
import {
  cutOf,
  faultsOf,
  finishedJournals,
  firstDraft,
  isFaultless,
  journalsOf,
  keepDraft,
  type NewShaftDraft,
  readKeptDraft,
  withoutMissing,
} from './new-shaft-draft'
import styles from './setup.module.css'
import { ShaftDrawing } from './shaft-drawing'
import { counted, countSentence } from './shaft-layout'
import { WhichShaft } from './which-shaft'

type Kind = 'pin' | 'main'
type Sending = { kind: 'idle' } | { kind: 'sending' } | { kind: 'failed'; failure: ApiFailure }

export function NewShaftScreen() {
  const router = useRouter()
  const units = useUnits()
  const [draft, setDraft] = useState<NewShaftDraft>(firstDraft)
  const [kind, setKind] = useState<Kind>('pin')
  const [asked, setAsked] = useState(false)
  const [sending, setSending] = useState<Sending>({ kind: 'idle' })
  const top = useRef<HTMLDivElement>(null)
  /** One for the whole draft, so that sending it twice puts one shaft on the bench. */
  const [shaftId] = useState(() => crypto.randomUUID())
  const journalIds = useRef(new Map<string, string>())

  useEffect(() => {
    const kept = readKeptDraft(window.localStorage)
    if (kept) setDraft(kept)
  }, [])

  const planned = journalsOf(draft)
  const kinds = (['pin', 'main'] as const).filter((one) => planned.some((journal) => journal.kind === one))
  const shown: Kind = kinds.includes(kind) ? kind : (kinds[0] ?? 'pin')
  const faults = faultsOf(draft, units)
  const visible = asked ? faults : withoutMissing(faults)
  const next = kinds.find((one) => one !== shown && Object.keys(faults[one]).length > 0)

  function change(changed: NewShaftDraft) {
    setDraft(changed)
    keepDraft(window.localStorage, changed)
  }

  function rowIdOf(name: string): string {
    const id = journalIds.current.get(name) ?? crypto.randomUUID()
    journalIds.current.set(name, id)
    return id
  }

  async function put(oneDiffers: boolean) {
    setAsked(true)
    if (!isFaultless(faults)) {
      const where = kinds.find((one) => Object.keys(faults[one]).length > 0 || faults[`${one}Standard`])
      if (where) setKind(where)
      requestAnimationFrame(() => top.current?.querySelector<HTMLElement>('[aria-invalid=true]')?.focus())
      return
    }
    setSending({ kind: 'sending' })
    const answer = await apiRequest(shaftDocumentSchema, {
      method: 'POST',
      path: '/api/shafts',
      body: {
        id: shaftId,
        shaft: { id: draft.workOrder.trim(), label: draft.label.trim() },
        cut: cutOf(draft),
        journals: finishedJournals(draft).map((journal) => ({ id: rowIdOf(journal.id), journal })),
      },
    })
    if (!answer.ok) {
      setSending({ kind: 'failed', failure: answer.reason })
      return
    }
    keepDraft(window.localStorage, null)
    router.push(oneDiffers ? `/shafts/${shaftId}/setup` : `/shafts/${shaftId}/sizes`)
  }

  const word = shown === 'pin' ? 'pin' : 'main'
  const count = planned.filter((journal) => journal.kind === shown).length
  const standard = draft[`${shown}Standard`]
  return (
    <Shell newShaftTag={draft.workOrder.trim() === '' ? 'New shaft' : `W.O. ${draft.workOrder.trim()} · new shaft`}>
      <div className={styles.page} ref={top}>
        <div className={styles.column}>
          <WhichShaft draft={draft} faults={visible} onChange={change} />
          {planned.length === 0 ? null : (
            <section className={`sheet ${styles.panel} ${styles.form}`} aria-label={`Sizes of the ${word}s`}>
              <div className={styles.headLine}>
                <h2>{count === 1 ? `The ${word}` : `${capital(word)}s, all ${count} alike`}</h2>
                {kinds.length > 1 ? (
                  <Stops
                    label="Sizes of"
                    value={shown}
                    onChange={setKind}
                    stops={[
                      { value: 'pin', label: 'Pins' },
                      { value: 'main', label: 'Mains' },
                    ]}
                  />
                ) : null}
              </div>
              <JournalForm
                key={shown}
                kind={shown}
                draft={draft[shown]}
                faults={visible[shown]}
                split={shown === 'pin' && draft.counting === 'cylinders' && draft.throws === 'split'}
                onChange={(changed) => change({ ...draft, [shown]: changed })}
              />
              <div className={styles.two}>
                <LengthField
                  key={`${shown}-from`}
                  label="Standard size, from"
                  kind="reading"
                  optional
                  value={standard.from}
                  usual={usualLengths.diameter}
                  note="From the engine maker’s data; may stay empty."
                  onChange={(from) => change({ ...draft, [`${shown}Standard`]: { ...standard, from } })}
                />
                <LengthField
                  key={`${shown}-to`}
                  label="to"
                  kind="reading"
                  optional
                  value={standard.to}
                  usual={usualLengths.diameter}
                  fault={visible[`${shown}Standard`]}
                  onChange={(to) => change({ ...draft, [`${shown}Standard`]: { ...standard, to } })}
                />
              </div>
            </section>
          )}
          {sending.kind === 'failed' ? (
            <div className={`${styles.gap} ${styles.form}`}>
              <Notice weighty urgent title="The shaft is not on the bench yet.">
                <p>{failureSentence(sending.failure)}</p>
              </Notice>
            </div>
          ) : null}
          <div className={styles.go}>
            {next ? (
              <Button kind="main" thumb onPress={() => setKind(next)}>
                Next: {next === 'pin' ? 'pins' : 'mains'}
              </Button>
            ) : (
              <Button
                kind="main"
                thumb
                notYet={sending.kind === 'sending' ? 'Putting it on the bench …' : undefined}
                onPress={() => put(false)}
              >
                Put it on the bench
              </Button>
            )}
            {next || planned.length < 2 ? null : (
              <Button thumb onPress={() => put(true)}>
                One journal differs
              </Button>
            )}
            <span className="note">Kept on this device until it is on the bench</span>
          </div>
        </div>
        <div className={styles.column}>
          <div className={styles.stays}>
            <section className={`sheet ${styles.panel} ${styles.shaftSheet}`}>
              <h2>{planned.length === 0 ? 'No journal yet' : countSentence(planned)}</h2>
              <ShaftDrawing
                label={`The shaft from the side, as set up: ${countSentence(planned)}`}
                dimensioned={planned.find((journal) => journal.kind === shown)?.name}
                journals={planned.map((journal) => ({
                  ...journal,
                  diameter: draft[journal.kind].diameter,
                  width: draft[journal.kind].width,
                }))}
              />
              <p className="note">{counted(planned.length, 'journal')} to measure and to photograph</p>
            </section>
            {planned.length === 0 ? null : (
              <section className={`sheet ${styles.panel} ${styles.journalSheet}`}>
                <h2>{count === 1 ? `The ${word}` : `One ${word}`}, as typed so far</h2>
                <JournalDrawing draft={draft[shown]} word={capital(word)} />
              </section>
            )}
          </div>
        </div>
      </div>
    </Shell>
  )
}

function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1)
}
