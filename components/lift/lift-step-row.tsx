'use client'
/** The steps of a lift in a row: each with its name and how it stands. */
import { useEffect, useRef } from 'react'
import styles from '../photo/fit-bench.module.css'
import { type LiftStep, type LiftStepKey, standingWords } from './lift-words'

export function LiftStepRow({
  steps,
  here,
  fitted,
  onStep,
}: {
  steps: readonly LiftStep[]
  here: LiftStepKey
  fitted: boolean
  onStep: (key: LiftStepKey) => void
}) {
  const row = useRef<HTMLOListElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the step in hand is brought into view when it changes
  useEffect(() => {
    const list = row.current
    const item = list?.querySelector('[aria-current]')?.parentElement
    if (list && item) list.scrollLeft = item.offsetLeft - list.offsetLeft - (list.clientWidth - item.offsetWidth) / 2
  }, [here])
  return (
    <ol ref={row} className={styles.steps} aria-label="Steps of the lift">
      {steps.map((step) => (
        <li key={step.key}>
          <button
            type="button"
            className={styles.step}
            aria-current={step.key === here ? 'step' : undefined}
            onClick={() => onStep(step.key)}
          >
            <b>{step.name}</b>
            <span className={step.standing === 'look-again' ? styles.look : step.standing === 'enough' ? styles.good : undefined}>
              {standingWords(step, fitted)}
            </span>
          </button>
        </li>
      ))}
    </ol>
  )
}
