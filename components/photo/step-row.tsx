'use client'
/** Steps in a row: each with its name and how it stands, the one in hand brought into view. */
import { useEffect, useRef } from 'react'
import styles from './fit-bench.module.css'

export type ShownStep<Key extends string> = { key: Key; name: string; word: string; look: 'good' | 'look-again' | null }

export function StepRow<Key extends string>({
  label,
  steps,
  here,
  onStep,
}: {
  label: string
  steps: readonly ShownStep<Key>[]
  here: Key
  onStep: (key: Key) => void
}) {
  const row = useRef<HTMLOListElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the step in hand is brought into view when it changes
  useEffect(() => {
    const list = row.current
    const item = list?.querySelector('[aria-current]')?.parentElement
    if (list && item) list.scrollLeft = item.offsetLeft - list.offsetLeft - (list.clientWidth - item.offsetWidth) / 2
  }, [here])
  return (
    <ol ref={row} className={styles.steps} aria-label={label}>
      {steps.map(({ key, name, word, look }) => (
        <li key={key}>
          <button type="button" className={styles.step} aria-current={key === here ? 'step' : undefined} onClick={() => onStep(key)}>
            <b>{name}</b>
            <span className={look === 'good' ? styles.good : look === 'look-again' ? styles.look : undefined}>{word || '\u00a0'}</span>
          </button>
        </li>
      ))}
    </ol>
  )
}
