'use client'
/** The form for a mark measured with rule and protractor, where no photograph shows it. */
import { useState } from 'react'
import type { JournalModel } from '@/components/editor/bench-model'
import type { BenchStore } from '@/components/editor/bench-store'
import { markLetter, nextMarkName } from '@/components/editor/mark-names'
import { type TypedFailure, typedMark } from '@/components/editor/typed-mark'
import { AngleField } from '@/components/ui/angle-field'
import { Button } from '@/components/ui/button'
import { LengthField } from '@/components/ui/length-field'
import { useUnits } from '@/components/ui/preferences'
import { Stops } from '@/components/ui/stops'
import type { Units } from '@/lib/model/inspection'
import { formatLength } from '@/lib/model/units'
import styles from './typed-mark-form.module.css'

type Typed = {
  angleDeg: number | null
  axial: number | null
  length: number | null
  toShaftDeg: number | null
  hand: 'right' | 'left'
  plusMinus: number | null
}
const blank: Typed = { angleDeg: null, axial: null, length: null, toShaftDeg: null, hand: 'right', plusMinus: 0.5 }

export function TypedMarkForm({ model, store, onMade }: { model: JournalModel; store: BenchStore; onMade: (rowId: string) => void }) {
  const units = useUnits()
  const [typed, setTyped] = useState<Typed>(blank)
  const [round, setRound] = useState(0)
  const { angleDeg, axial, length, toShaftDeg, hand, plusMinus } = typed
  const whole = angleDeg !== null && axial !== null && length !== null && toShaftDeg !== null && plusMinus !== null
  const name = nextMarkName(store.state().document, model.row.value.id)
  const result = whole ? typedMark(name, model.row.value.id, model.surface, { angleDeg, axial, length, toShaftDeg, hand, plusMinus }) : null
  const fault = result && !result.ok ? result.reason : null
  const change = (part: Partial<Typed>) => setTyped({ ...typed, ...part })
  const keep = () => {
    if (!result?.ok) return
    const id = crypto.randomUUID()
    store.perform(`Type mark ${markLetter(result.value)}`, [{ kind: 'mark', id, before: null, after: result.value }])
    setTyped(blank)
    setRound(round + 1)
    onMade(id)
  }
  return (
    <div className={styles.form} key={round}>
      <p className="note">Measured with rule and protractor. Give the end nearer to the front.</p>
      <div className={styles.pair}>
        <LengthField
          label="From the front cheek"
          value={axial}
          positive={false}
          onChange={(value) => change({ axial: value })}
          fault={
            fault?.code === 'begins-off-journal' ? `Beyond the journal: it is ${formatLength(model.surface.width, units)} wide.` : null
          }
        />
        <AngleField label="Angle about the shaft" value={angleDeg} onChange={(value) => change({ angleDeg: value })} />
      </div>
      <div className={styles.pair}>
        <LengthField
          label="Its length"
          value={length}
          onChange={(value) => change({ length: value })}
          fault={fault?.code === 'ends-off-journal' ? failureWords(fault, units) : null}
        />
        <AngleField
          label="Angle to the shaft"
          value={toShaftDeg}
          onChange={(value) => change({ toShaftDeg: value })}
          fault={fault?.code === 'bad-angle' ? '0° is along the shaft, 90° around it. Type an angle between them.' : null}
          note="0° along, 90° around"
        />
      </div>
      <Stops
        label="How it leans, seen with the rear up"
        stops={[
          { value: 'right', label: 'Leans right  /' },
          { value: 'left', label: 'Leans left  \\' },
        ]}
        value={hand}
        onChange={(value) => change({ hand: value })}
      />
      <LengthField label="Your rule reads to ±" value={plusMinus} onChange={(value) => change({ plusMinus: value })} />
      <Button notYet={whole ? (result?.ok ? undefined : 'Not yet: see the field') : 'Not yet: numbers are missing'} onPress={keep}>
        Keep mark {markLetter({ id: name, journalId: model.row.value.id })}
      </Button>
    </div>
  )
}

function failureWords(failure: TypedFailure, units: Units): string {
  return failure.code === 'ends-off-journal'
    ? `It would end beyond the rear cheek: there is room for ${formatLength(failure.roomMm, units)}.`
    : ''
}
