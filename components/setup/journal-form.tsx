'use client'
/** What a person types of a journal, or of all pins or mains that are alike: sizes, ends, oil holes, coating, heat. */
import type { ReactNode } from 'react'
import { LengthField } from '@/components/ui/length-field'
import { Stops } from '@/components/ui/stops'
import type { Journal } from '@/lib/model/journal'
import { usualLengths } from '@/lib/model/likely-length'
import { EndFields } from './end-fields'
import { HoleFields } from './hole-fields'
import { type DraftFaults, type JournalDraft, newHole } from './journal-draft'
import styles from './setup.module.css'
import { StripFields } from './strip-fields'

export function JournalForm({
  kind,
  draft,
  faults,
  onChange,
  split = false,
  notice,
}: {
  kind: Journal['kind']
  draft: JournalDraft
  faults: DraftFaults
  onChange: (draft: JournalDraft) => void
  /** The inner ends of split pins are steps of their own accord. */
  split?: boolean
  /** Said right below the sizes. */
  notice?: ReactNode
}) {
  const set = (part: Partial<JournalDraft>) => onChange({ ...draft, ...part })
  return (
    <>
      <div className={styles.two}>
        <LengthField
          label="Diameter, as measured"
          kind="reading"
          value={draft.diameter}
          usual={usualLengths.diameter}
          fault={faults.diameter}
          onChange={(diameter) => set({ diameter })}
        />
        <LengthField
          label="Width, cheek to cheek"
          value={draft.width}
          usual={usualLengths.width}
          fault={faults.width}
          onChange={(width) => set({ width })}
        />
      </div>
      {notice}
      <EndFields draft={draft} faults={faults} onChange={onChange} />
      {split ? (
        <p className="note">Where a pin is split, its inner end is a sharp step; what you set here is the end at the cheek.</p>
      ) : null}

      <div className={styles.line}>
        <span className={styles.lineName}>Oil holes</span>
        <Stops
          label="Oil holes"
          value={String(Math.min(draft.holes.length, 4))}
          onChange={(count) => set({ holes: holesOfCount(draft, Number(count)) })}
          stops={['0', '1', '2', '3', '4'].map((count) => ({
            value: count,
            label: count === '0' ? 'none' : count,
            spoken: count === '0' ? 'none' : `${count} oil hole${count === '1' ? '' : 's'}`,
          }))}
        />
      </div>
      {draft.holes.map((hole, index) => (
        <HoleFields
          key={hole.id}
          hole={hole}
          index={index}
          many={draft.holes.length > 1}
          faults={faults}
          onChange={(changed) => set({ holes: draft.holes.map((other, place) => (place === index ? changed : other)) })}
        />
      ))}
      <p className="note">{zeroSentence(kind)}</p>

      <div className={styles.line}>
        <span className={styles.lineName}>Plating</span>
        <Stops
          label="Plating"
          wraps
          value={draft.coating}
          onChange={(coating) => set({ coating })}
          stops={[
            { value: 'none', label: 'none' },
            { value: 'suspected', label: 'suspected' },
            { value: 'known', label: 'known' },
            { value: 'unknown', label: 'cannot tell' },
          ]}
        />
      </div>
      {draft.coating === 'known' ? (
        <div className={styles.two}>
          <LengthField
            label="Plating thickness, on one side"
            kind="reading"
            value={draft.platingPerSide}
            usual={usualLengths.platingPerSide}
            fault={faults.platingPerSide}
            note="The layer itself, not what it adds to the diameter."
            onChange={(platingPerSide) => set({ platingPerSide })}
          />
          <div />
        </div>
      ) : null}

      <div className={styles.line}>
        <span className={styles.lineName}>Heat</span>
        <label className="check">
          <input type="checkbox" checked={draft.overheated} onChange={(event) => set({ overheated: event.target.checked })} />
          <span>Heat colour on it, or a bearing has spun</span>
        </label>
      </div>

      <StripFields strip={draft.strip} onChange={(strip) => set({ strip })} />

      <details className={styles.notServed}>
        <summary>Forms of journal that this program does not measure</summary>
        <p className="note">
          A groove around the running surface, two rod tracks with a raised land between them on one pin, and thrust faces are not in the
          surface it lays out. Do not enter such a journal as a plain cylinder: distances near the groove or land would be wrong. Two rods
          side by side on one plain pin are one journal.
        </p>
      </details>
    </>
  )
}

function holesOfCount(draft: JournalDraft, count: number): JournalDraft['holes'] {
  const holes = draft.holes.slice(0, count)
  while (holes.length < count) holes.push(newHole(holes))
  return holes
}

function zeroSentence(kind: Journal['kind']): string {
  const zero =
    kind === 'pin'
      ? 'Zero on a pin is the line along it that is furthest from the shaft’s axis.'
      : 'Zero on a main is the line along it that faces pin 1.'
  return `${zero} Angles grow clockwise, seen from the front. Scribe or ink your own witness line instead if that is easier, call it 0°, and keep to it on this journal.`
}
