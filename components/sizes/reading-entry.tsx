'use client'
/** One reading, typed large, with the barrel that sets itself to it. Enter keeps it and goes on; an odd one is asked about first. */
import { type Ref, useId } from 'react'
import { Button } from '@/components/ui/button'
import { Caution } from '@/components/ui/notice'
import { useUnits } from '@/components/ui/preferences'
import { journalWord } from '@/components/ui/shaft-words'
import { type OddReading, underStandard } from '@/lib/cut/odd-reading'
import type { Units } from '@/lib/model/inspection'
import type { JournalRow } from '@/lib/model/rows'
import { formatLength, lengthFailureSentence, parseLength } from '@/lib/model/units'
import { Barrel } from './barrel'
import { type Place, stationAxial } from './reading-grid'
import styles from './sizes.module.css'

export function ReadingEntry({
  row,
  place,
  text,
  asked,
  fault,
  hasReading,
  standardMin,
  onText,
  onEnter,
  onUse,
  onRight,
  onRemove,
  ref,
}: {
  row: JournalRow
  place: Place
  text: string
  /** The question that stands open about what was typed. */
  asked: OddReading | null
  /** The text could not be read when Enter was pressed. */
  fault: boolean
  hasReading: boolean
  standardMin: number | undefined
  onText: (text: string) => void
  onEnter: () => void
  onUse: (mm: number) => void
  onRight: () => void
  onRemove: () => void
  ref: Ref<HTMLInputElement>
}) {
  const units = useUnits()
  const id = useId()
  const parsed = parseLength(text, units)
  const mm = parsed.ok && parsed.value > 0 ? parsed.value : null
  const under = mm !== null && standardMin !== undefined && asked === null ? underStandard(mm, standardMin, units) : null
  const problem = fault
    ? parsed.ok
      ? 'A diameter is more than 0. Type what the barrel shows.'
      : lengthFailureSentence(parsed.reason, units)
    : null
  return (
    <section className={`sheet ${styles.entry}`} aria-label="The reading">
      <h2 id={`${id}-place`}>
        {journalWord(row.journal)}, {place.station}, at {place.angleDeg}°
      </h2>
      <p className="note">{formatLength(stationAxial(row.journal, place.station), units)} from the front cheek</p>
      <div className={styles.type}>
        <div className="field">
          <label className="field-name" htmlFor={id}>
            Type what you read
          </label>
          <div className={asked || problem ? `box faulty ${styles.big}` : `box ${styles.big}`}>
            <input
              ref={ref}
              id={id}
              value={text}
              inputMode={units === 'mm' ? 'decimal' : 'text'}
              enterKeyHint="next"
              autoComplete="off"
              aria-describedby={`${id}-place${asked || problem ? ` ${id}-word` : ''}`}
              aria-invalid={problem ? true : undefined}
              onChange={(event) => onText(event.target.value)}
              onKeyDown={(event) => {
                if (event.key !== 'Enter') return
                event.preventDefault()
                onEnter()
              }}
            />
            <span className="unit">{units}</span>
          </div>
        </div>
        <Barrel mm={mm} aboutMm={row.journal.diameter} units={units} />
      </div>
      <div aria-live="polite">
        {problem ? (
          <p className="field-word" id={`${id}-word`}>
            {problem}
          </p>
        ) : asked && mm !== null ? (
          <>
            <p className="field-word" id={`${id}-word`}>
              {question(asked, units)} <span className="note">Enter again keeps it.</span>
            </p>
            <div className="field-answers">
              {asked.likely === null ? null : (
                <Button onPress={() => onUse(asked.likely as number)}>Use {formatLength(asked.likely, units, 'reading')}</Button>
              )}
              <Button kind="flat" onPress={onRight}>
                It is right
              </Button>
            </div>
          </>
        ) : null}
      </div>
      <div className={styles.acts}>
        <Button kind="main" onPress={onEnter}>
          Keep and go on <kbd>Enter</kbd>
        </Button>
        {hasReading ? (
          <Button kind="flat" onPress={onRemove}>
            Remove this reading
          </Button>
        ) : null}
      </div>
      <p className={styles.say}>The barrel is set to what you typed. If it does not look like the one in your hand, a digit is wrong.</p>
      <p className="note">{units === 'mm' ? 'Thousandths' : 'Ten-thousandths'} lie between two lines of the thimble.</p>
      {under ? (
        <div className={styles.say}>
          <Caution>
            {formatLength(under.under, units, 'reading')} under the smallest standard size.
            {under.undersize === null
              ? ''
              : ` That is close to a ${formatLength(under.undersize, units)} undersize: the journal may have been cut before.`}
          </Caution>
        </div>
      ) : null}
    </section>
  )
}

function question(odd: OddReading, units: Units): string {
  const by = formatLength(Math.abs(odd.difference), units, 'reading')
  const how = `${by} ${odd.difference > 0 ? 'larger' : 'smaller'} than ${odd.against === 'set-up' ? 'the set-up says' : 'its neighbours'}.`
  return odd.likely === null ? `${how} Is it right?` : `${how} Did you mean ${formatLength(odd.likely, units, 'reading')}?`
}
