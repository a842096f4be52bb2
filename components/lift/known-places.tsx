'use client'
/** The distances of the known points: typed for each, or for all four at once where they are the corners of a rectangle. */
import { useState } from 'react'
import { Each } from '@/components/map/each'
import { Button } from '@/components/ui/button'
import { LengthField } from '@/components/ui/length-field'
import type { Lift, LiftScalePoint } from '@/lib/model/lift'
import own from './lift.module.css'
import type { LiftPointRef } from './lift-tool'

export function KnownPlaces({
  lift,
  chosen,
  onLift,
  onChoose,
}: {
  lift: Lift
  chosen: LiftPointRef | null
  onLift: (lift: Lift) => void
  onChoose: (point: LiftPointRef | null) => void
}) {
  const { scalePoints } = lift
  const set = (index: number, part: Partial<LiftScalePoint>) =>
    onLift({ ...lift, scalePoints: scalePoints.map((point, place) => (place === index ? { ...point, ...part } : point)) })
  if (scalePoints.length === 0) return <p className="note">Nothing tapped yet.</p>
  return (
    <>
      {scalePoints.length === 4 ? <Rectangle lift={lift} onLift={onLift} /> : null}
      <ol className={own.places} aria-label="Known points">
        <Each of={scalePoints}>
          {(point, index) => (
            <li className={chosen?.list === 'scale' && chosen.index === index ? own.chosen : undefined}>
              <Button kind="flat" label={`Choose known point ${index + 1}`} onPress={() => onChoose({ list: 'scale', index })}>
                {index + 1}
              </Button>
              <LengthField
                label={`Point ${index + 1}, along`}
                value={point.xMm}
                onChange={(xMm) => set(index, { xMm })}
                onFocus={() => onChoose({ list: 'scale', index })}
                positive={false}
                optional
              />
              <LengthField
                label={`Point ${index + 1}, across`}
                value={point.yMm}
                onChange={(yMm) => set(index, { yMm })}
                onFocus={() => onChoose({ list: 'scale', index })}
                positive={false}
                optional
              />
            </li>
          )}
        </Each>
      </ol>
    </>
  )
}

/** In the order they were tapped, round the rectangle. */
function Rectangle({ lift, onLift }: { lift: Lift; onLift: (lift: Lift) => void }) {
  const [long, setLong] = useState<number | null>(null)
  const [wide, setWide] = useState<number | null>(null)
  const corners =
    long !== null && wide !== null
      ? [
          [0, 0],
          [long, 0],
          [long, wide],
          [0, wide],
        ]
      : null
  return (
    <details className={own.rectangle}>
      <summary>They are the corners of a rectangle, tapped one after the other around it</summary>
      <div className={own.pair}>
        <LengthField label="1 to 2" value={long} onChange={setLong} />
        <LengthField label="2 to 3" value={wide} onChange={setWide} />
      </div>
      <Button
        notYet={corners ? undefined : 'Type both sides first'}
        onPress={() =>
          corners &&
          onLift({
            ...lift,
            scalePoints: lift.scalePoints.map((point, index) => ({ ...point, xMm: corners[index][0], yMm: corners[index][1] })),
          })
        }
      >
        Set the four places
      </Button>
    </details>
  )
}
