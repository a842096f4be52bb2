'use client'
/** What the step in hand asks for: what to tap, the distances and angles to type, how it stands, and what comes next. */
import type { ReactNode } from 'react'
import { AngleField } from '@/components/ui/angle-field'
import { Button } from '@/components/ui/button'
import { LengthField } from '@/components/ui/length-field'
import { useUnits } from '@/components/ui/preferences'
import { Stops } from '@/components/ui/stops'
import { axialOfS, type Surface } from '@/lib/journal/surface'
import type { Result } from '@/lib/model/result'
import type { Lift } from '@/lib/model/lift'
import type { LiftFailure, LiftFit } from '@/lib/photo/flat-lift'
import { edgeS } from '@/lib/photo/flat-lift-task'
import styles from '../photo/fit-bench.module.css'
import own from './lift.module.css'
import { LiftKind } from './lift-kind'
import { KnownPlaces } from './known-places'
import type { LiftPointRef } from './lift-tool'
import { liftFailureSentence, liftFitSentence, type LiftStep } from './lift-words'

export function LiftAsk({
  lift,
  surface,
  step,
  steps,
  fit,
  chosen,
  onLift,
  onStep,
  onChoose,
  onDrop,
  drawing,
}: {
  lift: Lift
  surface: Surface
  step: LiftStep
  steps: readonly LiftStep[]
  fit: Result<LiftFit, LiftFailure>
  chosen: LiftPointRef | null
  onLift: (lift: Lift) => void
  onStep: (key: LiftStep['key']) => void
  onChoose: (point: LiftPointRef | null) => void
  onDrop: () => void
  /** What stands in the place of the next step's button while a mark is drawn. */
  drawing: ReactNode
}) {
  const units = useUnits()
  const next = steps[steps.findIndex(({ key }) => key === step.key) + 1]
  return (
    <div className={`${styles.low} ${own.low}`}>
      <div className={own.ask}>
        <p className={styles.say}>{step.ask}</p>
        {step.key === 'scale' ? <KnownPlaces lift={lift} chosen={chosen} onLift={onLift} onChoose={onChoose} /> : null}
        {step.key === 'front' || step.key === 'rear' ? <EdgePlace end={step.key} lift={lift} surface={surface} onLift={onLift} /> : null}
        {step.key === 'witness' ? (
          <AngleField
            label="Its angle about the shaft"
            value={lift.witness.angleDeg}
            onChange={(angleDeg) => angleDeg !== null && onLift({ ...lift, witness: { ...lift.witness, angleDeg } })}
            note="Clockwise seen from the front; 0 is the witness line."
          />
        ) : null}
        <p className={fit.ok && !fit.value.residualsWithinRange ? styles.look : 'note'} role="status">
          {fit.ok ? liftFitSentence(fit.value, units) : step.key === 'mark' ? liftFailureSentence(fit.reason) : ''}
        </p>
      </div>
      {step.key === 'mark' ? (
        drawing
      ) : (
        <div className={styles.acts} data-next-step>
          <Button notYet={chosen ? undefined : 'Drop point'} onPress={onDrop}>
            Drop point
          </Button>
          {next ? (
            <Button kind="main" onPress={() => onStep(next.key)}>
              Next: {next.name.toLowerCase()}
            </Button>
          ) : null}
        </div>
      )}
      <LiftKind lift={lift} onLift={onLift} />
    </div>
  )
}

function EdgePlace({ end, lift, surface, onLift }: { end: 'front' | 'rear'; lift: Lift; surface: Surface; onLift: (lift: Lift) => void }) {
  const edge = lift[end]
  const set = (at: Lift['front']['at']) => onLift({ ...lift, [end]: { ...edge, at } })
  return (
    <>
      <Stops
        label={`Where the ${end} edge lies`}
        value={edge.at === 'tangent-line' ? 'tangent-line' : 'inked'}
        onChange={(value) => set(value === 'tangent-line' ? value : Number(axialOfS(surface, edgeS(surface, end, edge)).toFixed(3)))}
        stops={[
          { value: 'tangent-line', label: 'Tangent line' },
          { value: 'inked', label: 'An inked line' },
        ]}
      />
      {edge.at === 'tangent-line' ? (
        <p className="note">Where the cylinder ends and the {end} fillet begins.</p>
      ) : (
        <LengthField label="From the front cheek, along the shaft" value={edge.at} onChange={(mm) => mm !== null && set(mm)} />
      )}
    </>
  )
}
