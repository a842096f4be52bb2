'use client'
/** What a person knows of a mark beyond its line: touch, what they saw it enter, a name for a patch, a note. Also its removal. */
import { useState } from 'react'
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import { markLetter } from '@/components/editor/mark-names'
import { Button } from '@/components/ui/button'
import { Stops } from '@/components/ui/stops'
import type { Mark } from '@/lib/model/mark'
import styles from './mark-details.module.css'

const feels: { value: Mark['feel']; label: string }[] = [
  { value: 'untested', label: 'Untested' },
  { value: 'smooth', label: 'Smooth' },
  { value: 'catches', label: 'Catches' },
]
const sights: { value: Mark['seen'][number]; label: string }[] = [
  { value: 'fillet', label: 'a fillet' },
  { value: 'hole', label: 'the oil hole' },
  { value: 'cheek', label: 'the cheek' },
  { value: 'branches', label: 'it branches' },
]

export function MarkDetails({ row, store, onRemove }: { row: Row<Mark>; store: BenchStore; onRemove: () => void }) {
  const mark = row.value
  const letter = markLetter(mark)
  const change = (words: string, after: Mark) =>
    store.perform(`${words} of mark ${letter}`, [{ kind: 'mark', id: row.id, before: mark, after }])
  return (
    <span className={styles.details}>
      <span className={styles.part}>
        <span className="note">Touch with a fingernail</span>
        <Stops label={`Touch of mark ${letter}`} stops={feels} value={mark.feel} onChange={(feel) => change('Touch', { ...mark, feel })} />
      </span>
      <fieldset className={styles.part}>
        <legend className="note">You saw it enter</legend>
        <span className={styles.boxes}>
          {sights.map(({ value, label }) => (
            <label key={value}>
              <input
                type="checkbox"
                checked={mark.seen.includes(value)}
                onChange={(event) =>
                  change('What was seen', {
                    ...mark,
                    seen: event.target.checked ? [...mark.seen, value] : mark.seen.filter((seen) => seen !== value),
                  })
                }
              />
              {label}
            </label>
          ))}
        </span>
      </fieldset>
      {mark.shape === 'area' ? (
        <span className={styles.part}>
          <span className="note">You would call it</span>
          <Stops
            label={`Name of patch ${letter}`}
            stops={[
              { value: 'none', label: 'Nothing yet' },
              { value: 'pit', label: 'A pit' },
              { value: 'stain', label: 'A stain' },
            ]}
            value={mark.named ?? 'none'}
            onChange={(named) => {
              const { named: _, ...rest } = mark
              change('Name', named === 'none' ? rest : { ...rest, named })
            }}
          />
        </span>
      ) : null}
      <Note
        key={row.id}
        note={mark.note ?? ''}
        onKeep={(note) => {
          const { note: _, ...rest } = mark
          change('Note', note === '' ? rest : { ...rest, note })
        }}
      />
      <span>
        <Button kind="flat" onPress={onRemove}>
          Remove mark {letter}
        </Button>
      </span>
    </span>
  )
}

/** Kept when it is left, so that one note is one step to take back. */
function Note({ note, onKeep }: { note: string; onKeep: (note: string) => void }) {
  const [typed, setTyped] = useState<string | null>(null)
  const keep = () => {
    if (typed !== null && typed.trim() !== note) onKeep(typed.trim())
    setTyped(null)
  }
  return (
    <label className={styles.part}>
      <span className="note">Note</span>
      <textarea
        className={styles.note}
        rows={2}
        maxLength={4000}
        value={typed ?? note}
        onChange={(event) => setTyped(event.target.value)}
        onBlur={keep}
      />
    </label>
  )
}
