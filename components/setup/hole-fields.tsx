'use client'
/** One oil hole: where its mouth lies, and the mouth's axes at the outer edge of chamfer or rounding. */
import { AngleField } from '@/components/ui/angle-field'
import { LengthField } from '@/components/ui/length-field'
import { Stops } from '@/components/ui/stops'
import { usualLengths } from '@/lib/model/likely-length'
import type { DraftFaults, HoleDraft } from './journal-draft'
import styles from './setup.module.css'

export function HoleFields({
  hole,
  index,
  many,
  faults,
  onChange,
}: {
  hole: HoleDraft
  index: number
  many: boolean
  faults: DraftFaults
  onChange: (hole: HoleDraft) => void
}) {
  const word = many ? `Oil hole ${index + 1}` : 'Oil hole'
  const set = (part: Partial<HoleDraft>) => onChange({ ...hole, ...part })
  const faultAt = (name: 'angleDeg' | 'axial' | 'mouthAround' | 'mouthAlong' | 'tiltDeg') => faults[`holes.${index}.${name}`]
  return (
    <fieldset className={styles.hole}>
      <legend className={styles.holeName}>{word}</legend>
      <div className={styles.two}>
        <LengthField
          label="Mouth around"
          value={hole.mouthAround}
          usual={usualLengths.mouth}
          fault={faultAt('mouthAround')}
          onChange={(mouthAround) => set({ mouthAround })}
        />
        <LengthField
          label="Mouth along"
          value={hole.mouthAlong}
          usual={usualLengths.mouth}
          fault={faultAt('mouthAlong')}
          note="At the outer edge of the chamfer."
          onChange={(mouthAlong) => set({ mouthAlong })}
        />
        <AngleField
          label="Angle from zero"
          value={hole.angleDeg}
          fault={faultAt('angleDeg')}
          note="Not measured? Leave 0: angles then count from the hole."
          onChange={(angleDeg) => set({ angleDeg })}
        />
        <AngleField
          label="Tilt"
          value={hole.tiltDeg}
          fault={faultAt('tiltDeg')}
          note="Turn of its long axis; 0 for most."
          onChange={(tiltDeg) => set({ tiltDeg })}
        />
      </div>
      <div className={styles.line}>
        <span className={styles.lineName}>Stands</span>
        <Stops
          label={`${word} stands`}
          value={hole.middle ? 'middle' : 'typed'}
          onChange={(choice) => set({ middle: choice === 'middle' })}
          stops={[
            { value: 'middle', label: 'half way' },
            { value: 'typed', label: 'off the middle' },
          ]}
        />
      </div>
      {hole.middle ? null : (
        <div className={styles.two}>
          <LengthField
            label="From the front cheek"
            value={hole.axial}
            usual={usualLengths.axial}
            fault={faultAt('axial')}
            note="To the middle of the hole."
            onChange={(axial) => set({ axial })}
          />
          <div />
        </div>
      )}
    </fieldset>
  )
}
