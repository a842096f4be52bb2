'use client'
/** Every point of a lift as a button: what the canvas shows, for keys and for those who do not see it; and a new point without pointing. */
import type { KeyboardEvent } from 'react'
import { Button } from '@/components/ui/button'
import styles from '../photo/fit-bench.module.css'
import { allLiftPoints, type LiftPointRef, type LiftWork, pixelOf, sameLiftPoint } from './lift-tool'
import { pointName, type LiftStep } from './lift-words'

export function LiftPointList({
  work,
  step,
  chosen,
  onChoose,
  onAdd,
  onKey,
}: {
  work: LiftWork
  step: LiftStep
  chosen: LiftPointRef | null
  onChoose: (point: LiftPointRef) => void
  /** Sets a point of the step in hand in the middle of the picture. */
  onAdd: () => void
  onKey: (event: KeyboardEvent<HTMLDivElement>) => void
}) {
  const all = allLiftPoints(work)
  const move = (event: KeyboardEvent<HTMLDivElement>) => {
    if (event.key !== 'Tab' && event.key !== 'Enter') onKey(event)
  }
  return (
    <details className={styles.list}>
      <summary>Points as a list, {all.length}</summary>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: arrow keys of the buttons within */}
      <div onKeyDown={move}>
        <p className="note">Choose one; arrows move it as finely as a hand picks, with Shift ten times. Del drops it.</p>
        <Button kind="flat" onPress={onAdd}>
          Set a point of “{step.name.toLowerCase()}” in the middle
        </Button>
        <ul>
          {all.map((ref) => (
            <li key={`${ref.list}:${ref.index}`}>
              <button type="button" className="btn" aria-pressed={sameLiftPoint(ref, chosen)} onClick={() => onChoose(ref)}>
                {pointName(ref)}
              </button>{' '}
              <span className="note figure">
                {pixelOf(work, ref)
                  ?.map((px) => px.toFixed(0))
                  .join(', ')}{' '}
                px
              </span>
            </li>
          ))}
        </ul>
      </div>
    </details>
  )
}
