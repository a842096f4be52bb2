'use client'
/** The steps of a fit in a row: each with its name and how it stands. */
import { useEffect, useRef } from 'react'
import type { HandleResidual } from '@/lib/photo/fit-residuals'
import styles from './fit-bench.module.css'
import { type FitStep, standingOf } from './fit-steps'
import { standingWords } from './fit-words'

export function FitStepRow({
  steps,
  residuals,
  here,
  onStep,
}: {
  steps: readonly FitStep[]
  residuals: readonly HandleResidual[] | null
  here: string
  onStep: (key: string) => void
}) {
  const row = useRef<HTMLOListElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the step in hand is brought into view when it changes
  useEffect(() => {
    const list = row.current
    const item = list?.querySelector('[aria-current]')?.parentElement
    if (list && item) list.scrollLeft = item.offsetLeft - list.offsetLeft - (list.clientWidth - item.offsetWidth) / 2
  }, [here])
  return (
    <ol ref={row} className={styles.steps} aria-label="Steps of the fit">
      {steps.map((step) => {
        const { standing } = standingOf(step, residuals)
        const word = standing === 'empty' && step.optional ? 'if seen' : standingWords[standing]
        return (
          <li key={step.key}>
            <button
              type="button"
              className={styles.step}
              aria-current={step.key === here ? 'step' : undefined}
              onClick={() => onStep(step.key)}
            >
              <b>{step.name}</b>
              <span className={standing === 'good' ? styles.good : standing === 'look-again' ? styles.look : undefined}>
                {word || '\u00a0'}
              </span>
            </button>
          </li>
        )
      })}
    </ol>
  )
}
