'use client'
/** What the lift is, how its picture shows the surface, and how well things are known. */
import { LengthField } from '@/components/ui/length-field'
import { Stops } from '@/components/ui/stops'
import type { Lift } from '@/lib/model/lift'
import own from './lift.module.css'

export function LiftKind({ lift, onLift }: { lift: Lift; onLift: (lift: Lift) => void }) {
  return (
    <details className={own.kind}>
      <summary>
        {lift.kind === 'tape' ? 'Tape lift' : 'Paper rubbing'}, {lift.shows === 'outside' ? 'seen as from outside' : 'mirrored'}
      </summary>
      <div className={own.kindParts}>
        <Stops
          label="What it is"
          value={lift.kind}
          onChange={(kind) => onLift({ ...lift, kind })}
          stops={[
            { value: 'tape', label: 'Tape lift' },
            { value: 'rubbing', label: 'Rubbing' },
          ]}
        />
        <Stops
          label="How the picture shows the surface"
          value={lift.shows}
          onChange={(shows) => onLift({ ...lift, shows })}
          stops={[
            { value: 'outside', label: 'As from outside' },
            { value: 'mirrored', label: 'Mirrored' },
          ]}
        />
        <p className="note">
          {lift.kind === 'tape'
            ? 'Tape stuck on paper and seen through its back shows the mark as from outside; seen from its sticky side, mirrored.'
            : 'A rubbing, its rubbed side towards you, shows the mark as from outside; seen through the paper from behind, mirrored.'}{' '}
          The oil hole must come to lie on its circle on the map.
        </p>
        <LengthField
          label={lift.kind === 'tape' ? 'Thickness of the tape' : 'Thickness of the paper'}
          value={lift.thicknessMm}
          onChange={(mm) => mm !== null && mm <= 2 && onLift({ ...lift, thicknessMm: mm })}
          positive={false}
          note="Half of it adds to the radius it was wrapped on."
        />
        <LengthField
          label="Known points are true to (one sigma)"
          value={lift.scaleSigmaMm}
          onChange={(mm) => mm !== null && mm >= 0 && onLift({ ...lift, scaleSigmaMm: mm })}
          positive={false}
        />
        <LengthField
          label="Edges and witness line are true to (one sigma)"
          value={lift.lineSigmaMm}
          onChange={(mm) => mm !== null && mm >= 0 && onLift({ ...lift, lineSigmaMm: mm })}
          positive={false}
          note="Common practice, no source. What is typed here goes into every mark’s plus-minus."
        />
      </div>
    </details>
  )
}
