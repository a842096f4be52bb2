'use client'
/** What belongs to the chosen journal beside its grid: readings from elsewhere on it, and its mean against the diameter of the set-up. */
import { Button } from '@/components/ui/button'
import { useUnits } from '@/components/ui/preferences'
import { journalWord } from '@/components/ui/shaft-words'
import { readingSummary } from '@/lib/cut/reading-summary'
import type { Reading } from '@/lib/model/cut'
import type { JournalRow } from '@/lib/model/rows'
import { formatAngle, formatLength } from '@/lib/model/units'
import styles from './sizes.module.css'

/** mm: less than this between mean and set-up moves nothing on the map that could be seen. */
const worthSaying = 0.005

export function ReadingsExtra({
  row,
  readings,
  others,
  onRemove,
  onDiameter,
}: {
  row: JournalRow
  readings: readonly Reading[]
  /** Readings that stand at no place of the grid. */
  others: readonly Reading[]
  onRemove: (reading: Reading) => void
  onDiameter: (diameter: number) => void
}) {
  const units = useUnits()
  const mean = readingSummary(readings)?.mean
  const name = journalWord(row.journal)
  const rounded = mean === undefined ? undefined : Math.round(mean * 1e4) / 1e4
  return (
    <>
      {others.length > 0 ? (
        <div className={styles.extra}>
          <h3>{name}, measured elsewhere</h3>
          <ul>
            {others.map((reading) => (
              <li key={`${reading.axial} ${reading.angleDeg} ${reading.diameter}`} className={styles.other}>
                <span>
                  {formatLength(reading.diameter, units, 'reading')} at {formatAngle(reading.angleDeg)},{' '}
                  {formatLength(reading.axial, units)} from the front cheek
                </span>
                <Button kind="flat" onPress={() => onRemove(reading)} label={`Remove ${formatLength(reading.diameter, units, 'reading')}`}>
                  Remove
                </Button>
              </li>
            ))}
          </ul>
        </div>
      ) : null}
      {rounded !== undefined && Math.abs(rounded - row.journal.diameter) >= worthSaying ? (
        <div className={styles.extra}>
          <p>
            The mean of {name.toLowerCase()}’s readings is {formatLength(rounded, units, 'reading')}; its set-up says{' '}
            {formatLength(row.journal.diameter, units, 'reading')}. The map is drawn to the set-up.
          </p>
          <Button onPress={() => onDiameter(rounded)}>Use the mean</Button>
        </div>
      ) : null}
    </>
  )
}
