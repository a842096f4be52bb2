'use client'
/** How the two ends of a journal run out: fillet, undercut or sharp step, both alike or each its own. */
import { LengthField } from '@/components/ui/length-field'
import { Stops } from '@/components/ui/stops'
import { usualLengths } from '@/lib/model/likely-length'
import type { DraftFaults, EndDraft, JournalDraft } from './journal-draft'
import styles from './setup.module.css'

export function EndFields({
  draft,
  faults,
  onChange,
}: {
  draft: JournalDraft
  faults: DraftFaults
  onChange: (draft: JournalDraft) => void
}) {
  return (
    <>
      <div className={styles.line}>
        <span className={styles.lineName}>Ends</span>
        <Stops
          label="Ends"
          value={draft.endsAlike ? 'alike' : 'apart'}
          onChange={(choice) => onChange({ ...draft, endsAlike: choice === 'alike', rear: choice === 'apart' ? draft.front : draft.rear })}
          stops={[
            { value: 'alike', label: 'front and rear alike' },
            { value: 'apart', label: 'each its own' },
          ]}
        />
      </div>
      <OneEnd
        side="front"
        word={draft.endsAlike ? 'Both ends' : 'Front end'}
        end={draft.front}
        faults={faults}
        onChange={(front) => onChange({ ...draft, front })}
      />
      {draft.endsAlike ? null : (
        <OneEnd side="rear" word="Rear end" end={draft.rear} faults={faults} onChange={(rear) => onChange({ ...draft, rear })} />
      )}
    </>
  )
}

function OneEnd({
  side,
  word,
  end,
  faults,
  onChange,
}: {
  side: 'front' | 'rear'
  word: string
  end: EndDraft
  faults: DraftFaults
  onChange: (end: EndDraft) => void
}) {
  return (
    <fieldset>
      <legend className="unseen">{word}</legend>
      <div className={styles.line}>
        <span className={styles.lineName}>{word}</span>
        <Stops
          label={word}
          value={end.form}
          onChange={(form) => onChange({ ...end, form })}
          stops={[
            { value: 'tangent', label: 'fillet' },
            { value: 'undercut', label: 'undercut' },
            { value: 'step', label: 'sharp step' },
          ]}
        />
      </div>
      {end.form === 'tangent' ? (
        <div className={styles.two}>
          <LengthField
            label={`Fillet radius, ${word.toLowerCase()}`}
            value={end.radius}
            usual={usualLengths.filletRadius}
            fault={faults[`${side}.radius`]}
            onChange={(radius) => onChange({ ...end, radius })}
          />
          <LengthField
            label="Radius uncertain by, ±"
            optional
            value={end.sigma === null ? null : end.sigma * confidence95}
            usual={usualLengths.radiusSigma}
            fault={faults[`${side}.sigma`]}
            note="95 % range; leave empty for a gauge that fits."
            onChange={(range) => onChange({ ...end, sigma: range === null ? null : range / confidence95 })}
          />
        </div>
      ) : end.form === 'undercut' ? (
        <div className={styles.two}>
          <LengthField
            label={`Undercut width, ${word.toLowerCase()}`}
            value={end.width}
            usual={usualLengths.undercutWidth}
            fault={faults[`${side}.width`]}
            note="Along the shaft, from the cheek to the groove’s edge."
            onChange={(width) => onChange({ ...end, width })}
          />
          <div />
        </div>
      ) : null}
    </fieldset>
  )
}

/** A person types a 95 % range; the file holds one standard deviation. */
const confidence95 = 1.96
