'use client'
/** All readings of a kind at a glance: a row a journal, what they say together at the right. Press a place to type there. */
import { useUnits } from '@/components/ui/preferences'
import { journalWord } from '@/components/ui/shaft-words'
import { readingSummary } from '@/lib/cut/reading-summary'
import type { Reading } from '@/lib/model/cut'
import type { JournalRow } from '@/lib/model/rows'
import { formatLength, formatLengthBare } from '@/lib/model/units'
import { type Place, placedReadings, placeKey, stations } from './reading-grid'
import styles from './sizes.module.css'

export type Chosen = { rowId: string; place: Place }

export function ReadingsTable({
  kind,
  rows,
  readingsOf,
  angles,
  chosen,
  odd,
  standard,
  onChoose,
}: {
  kind: 'pin' | 'main'
  rows: readonly JournalRow[]
  readingsOf: (row: JournalRow) => readonly Reading[]
  angles: readonly number[]
  chosen: Chosen | null
  /** Whether a reading does not fit its neighbours. */
  odd: (row: JournalRow, reading: Reading) => boolean
  standard: readonly [number, number] | undefined
  onChoose: (chosen: Chosen) => void
}) {
  const units = useUnits()
  const word = kind === 'pin' ? 'Pins' : 'Mains'
  return (
    <div className={styles.scroll}>
      <table className={styles.table}>
        <caption className="unseen">Readings of the {word.toLowerCase()}</caption>
        <thead>
          <tr>
            <th rowSpan={2} scope="col">
              {word}
              {standard ? (
                <span className={styles.standard}>
                  standard {formatLengthBare(standard[0], units, 'reading')} to {formatLengthBare(standard[1], units, 'reading')}
                </span>
              ) : null}
            </th>
            {stations.map((station) => (
              <th key={station} colSpan={angles.length} scope="colgroup" className={styles.group}>
                {capital(station)}
              </th>
            ))}
            <th rowSpan={2} scope="col" className={styles.right}>
              Smallest
            </th>
            <th rowSpan={2} scope="col" className={styles.right}>
              Taper
            </th>
            <th rowSpan={2} scope="col" className={styles.right}>
              Out of round
            </th>
          </tr>
          <tr>
            {stations.flatMap((station) =>
              angles.map((angle) => (
                <th key={`${station} ${angle}`} scope="col" className={styles.right}>
                  {angle}°
                </th>
              )),
            )}
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => {
            const readings = readingsOf(row)
            const { byPlace } = placedReadings(row.journal, readings, angles)
            const summary = readingSummary(readings)
            const name = journalWord(row.journal)
            return (
              <tr key={row.id} className={chosen?.rowId === row.id ? styles.current : undefined}>
                <th scope="row">{name}</th>
                {stations.flatMap((station) =>
                  angles.map((angleDeg) => {
                    const place = { station, angleDeg }
                    const reading = byPlace.get(placeKey(place))
                    const here = chosen?.rowId === row.id && placeKey(chosen.place) === placeKey(place)
                    const asks = reading ? odd(row, reading) : false
                    return (
                      <td key={placeKey(place)} className={styles.cell}>
                        <button
                          type="button"
                          className={here ? `${styles.place} ${styles.here}` : styles.place}
                          aria-current={here ? 'true' : undefined}
                          aria-label={`${name}, ${station}, at ${angleDeg}°: ${reading ? formatLength(reading.diameter, units, 'reading') : 'no reading'}${asks ? ', does not fit its neighbours' : ''}`}
                          onClick={() => onChoose({ rowId: row.id, place })}
                        >
                          {reading ? formatLengthBare(reading.diameter, units, 'reading') : '–'}
                          {asks ? '?' : ''}
                        </button>
                      </td>
                    )
                  }),
                )}
                <td className={`${styles.right} ${styles.small}`}>
                  {summary ? <b>{formatLengthBare(summary.smallest, units, 'reading')}</b> : '–'}
                </td>
                <td className={`${styles.right} ${styles.small}`}>
                  {summary?.taper == null ? '–' : formatLengthBare(summary.taper, units, 'reading')}
                </td>
                <td className={`${styles.right} ${styles.small}`}>
                  {summary?.outOfRound == null ? '–' : formatLengthBare(summary.outOfRound, units, 'reading')}
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </div>
  )
}

export function capital(word: string): string {
  return word.charAt(0).toUpperCase() + word.slice(1)
}
