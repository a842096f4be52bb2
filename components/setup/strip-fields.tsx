'use client'
/** The printed strip that a journal wears while it is photographed: what it was printed for, which way it lies, and what a person measured of it. */
import { AngleField } from '@/components/ui/angle-field'
import { LengthField, type LengthFieldProps } from '@/components/ui/length-field'
import { Stops } from '@/components/ui/stops'
import { usualLengths } from '@/lib/model/likely-length'
import type { StripDraft } from './journal-draft'
import styles from './setup.module.css'

type StripLength = Pick<LengthFieldProps, 'label' | 'note' | 'kind' | 'positive' | 'usual'> & { of: 'printedFor' | 'gapMm' | 'frontEdge' }

/** What may be measured of the strip; left empty, it is taken as printed for this journal, closing, and placed by picks. */
const lengths: readonly StripLength[] = [
  {
    of: 'printedFor',
    label: 'Printed for diameter',
    kind: 'reading',
    usual: usualLengths.diameter,
    note: 'Empty: for this journal’s own.',
  },
  { of: 'gapMm', label: 'Gap where it closes', positive: false, note: 'Below 0 for an overlap. Empty: not looked at.' },
  {
    of: 'frontEdge',
    label: 'Its FRONT edge from the front cheek',
    usual: usualLengths.axial,
    note: 'Empty: from a ring or oil hole picked in any picture, which is nearer the truth.',
  },
]

export function StripFields({ strip, onChange }: { strip: StripDraft; onChange: (strip: StripDraft) => void }) {
  const set = (part: Partial<StripDraft>) => onChange({ ...strip, ...part })
  return (
    <>
      <div className={styles.line}>
        <span className={styles.lineName}>Strip</span>
        <label className="check">
          <input type="checkbox" checked={strip.worn} onChange={(event) => set({ worn: event.target.checked })} />
          <span>It is photographed with a printed strip round it</span>
        </label>
      </div>
      {strip.worn ? (
        <fieldset className={styles.hole}>
          <legend className={styles.holeName}>Printed strip</legend>
          <div className={styles.line}>
            <span className={styles.lineName}>To the front</span>
            <Stops
              label="Edge that lies to the front"
              value={strip.toFront}
              onChange={(toFront) => set({ toFront })}
              stops={[
                { value: 'front', label: 'the edge that says FRONT' },
                { value: 'rear', label: 'the other edge' },
              ]}
            />
          </div>
          <div className={styles.two}>
            {lengths.map(({ of, ...field }) => (
              <LengthField key={of} {...field} optional value={strip[of]} onChange={(mm) => set({ [of]: mm })} />
            ))}
            <AngleField
              label="Angle of its 0 mark"
              optional
              value={strip.zeroAngleDeg}
              note="Empty: from an oil hole or witness mark picked in any picture."
              onChange={(zeroAngleDeg) => set({ zeroAngleDeg })}
            />
          </div>
        </fieldset>
      ) : null}
    </>
  )
}
