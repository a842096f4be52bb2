'use client'
/** Micrometer readings of every journal: type, Enter, go on. */
import { useLayoutEffect, useRef, useState } from 'react'
import { journalWrite } from '@/components/setup/use-journal-drafts'
import { ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { useUnits } from '@/components/ui/preferences'
import { useSaveQueue } from '@/components/ui/save-context'
import { useShaft } from '@/components/ui/shaft-document'
import { ShaftGate } from '@/components/ui/shaft-gate'
import { withJournal } from '@/components/ui/shaft-rows'
import { journalWord } from '@/components/ui/shaft-words'
import { Stops } from '@/components/ui/stops'
import { oddReading } from '@/lib/cut/odd-reading'
import type { Reading } from '@/lib/model/cut'
import type { JournalRow, ShaftDocument } from '@/lib/model/rows'
import { formatForField, parseLength } from '@/lib/model/units'
import { anglesFor, fourAngles, type Place, placedReadings, placeKey, stations, twoAngles, withReading } from './reading-grid'
import { ReadingEntry } from './reading-entry'
import { type Chosen, ReadingsTable } from './readings-table'
import { ReadingsExtra } from './readings-extra'
import styles from './sizes.module.css'
import { readingsOf, useSaveReadings } from './use-readings'

export function SizesScreen() {
  const { round } = useShaft()
  return (
    <ShaftGate>
      {(document) =>
        document.journals.length === 0 ? (
          <div className={styles.page}>
            <Notice
              title="No journal to measure yet."
              acts={<ButtonLink href={`/shafts/${document.shaft.id}/setup`}>Set the shaft up</ButtonLink>}
            />
          </div>
        ) : (
          <SizesPage key={round} document={document} />
        )
      }
    </ShaftGate>
  )
}

function SizesPage({ document }: { document: ShaftDocument }) {
  const units = useUnits()
  const queue = useSaveQueue()
  const { update } = useShaft()
  const save = useSaveReadings(document)
  const field = useRef<HTMLInputElement>(null)
  /** Set when another place was gone to: its field takes the focus, its reading selected. */
  const went = useRef(false)
  const [angles, setAngles] = useState(() => anglesFor(document.sizes.map((row) => row.sizes)))
  const [chosen, setChosen] = useState<Chosen>(() => firstEmpty(document, angles) ?? placesOf(document, angles)[0] ?? missing())
  /** What is being typed; null: the field shows the reading that stands there. */
  const [typed, setTyped] = useState<string | null>(null)
  const [pressed, setPressed] = useState<'no' | 'unreadable' | 'asks'>('no')
  /** Readings that a person said are right, however odd. */
  const [confirmed, setConfirmed] = useState<ReadonlySet<string>>(new Set())

  const row = document.journals.find((candidate) => candidate.id === chosen.rowId) ?? (document.journals[0] as JournalRow)
  const readings = readingsOf(document, row)
  const standing = placedReadings(row.journal, readings, angles).byPlace.get(placeKey(chosen.place))
  const text = typed ?? (standing ? formatForField(standing.diameter, units, 'reading') : '')
  const parsed = parseLength(text, units)
  const mm = parsed.ok && parsed.value > 0 ? parsed.value : null
  const others = readings.filter((reading) => reading !== standing).map((reading) => reading.diameter)
  const odd = mm === null ? null : oddReading(mm, others, row.journal.diameter, units)

  function keep(diameter: number | null) {
    save(row, withReading(row.journal, readings, angles, chosen.place, diameter))
  }

  function go(next: Chosen) {
    setChosen(next)
    setTyped(null)
    setPressed('no')
    went.current = true
  }

  // at once, not a frame later: a digit typed meanwhile would be selected and lost
  useLayoutEffect(() => {
    if (!went.current) return
    went.current = false
    field.current?.focus({ preventScroll: true })
    field.current?.select()
  })

  function keepAndGoOn(diameter: number, sure: boolean) {
    if (sure) setConfirmed((before) => new Set(before).add(`${confirmKey(row, chosen.place)} ${diameter}`))
    keep(diameter)
    go(nextEmpty(document, angles, chosen) ?? chosen)
  }

  function enter() {
    if (mm === null) return setPressed('unreadable')
    if (odd && pressed !== 'asks' && !confirmed.has(`${confirmKey(row, chosen.place)} ${mm}`)) return setPressed('asks')
    // Untouched, the reading keeps the digits it was stored with.
    keepAndGoOn(typed === null && standing ? standing.diameter : mm, odd !== null)
  }

  /** Leaving a place by pressing another one keeps what was typed, as Enter would. */
  function choose(next: Chosen) {
    if (typed !== null && mm !== null) keep(mm)
    go(next)
  }

  function isOdd(of: JournalRow, reading: Reading): boolean {
    const rest = readingsOf(document, of).filter((other) => other !== reading)
    const place = placesOf(document, angles).find(
      (candidate) =>
        candidate.rowId === of.id &&
        placedReadings(of.journal, readingsOf(document, of), angles).byPlace.get(placeKey(candidate.place)) === reading,
    )
    if (place && confirmed.has(`${confirmKey(of, place.place)} ${reading.diameter}`)) return false
    return (
      oddReading(
        reading.diameter,
        rest.map((other) => other.diameter),
        of.journal.diameter,
        units,
      ) !== null
    )
  }

  const left = placesOf(document, angles).filter((place) => !readingAt(document, angles, place)).length
  const standard = document.shaft.cut?.standard
  const table = (kind: 'pin' | 'main', rows: readonly JournalRow[]) =>
    rows.length === 0 ? null : (
      <ReadingsTable
        key={kind}
        kind={kind}
        rows={rows}
        readingsOf={(of) => readingsOf(document, of)}
        angles={angles}
        chosen={chosen}
        odd={isOdd}
        standard={standard?.[kind]}
        onChoose={choose}
      />
    )
  return (
    <div className={angles.length === 4 ? `${styles.page} ${styles.stacked}` : styles.page}>
      <section className={`sheet ${styles.readings}`} aria-label="Readings">
        <div className={styles.head}>
          <h1>Micrometer readings</h1>
          <span className="note">
            {units}, {left === 0 ? 'all places measured' : `${left} places to go`}
          </span>
          <div className={styles.angles}>
            <Stops
              label="Measured across"
              value={angles.length === 4 ? 'four' : 'two'}
              onChange={(count) => setAngles(count === 'four' ? fourAngles : twoAngles)}
              stops={[
                { value: 'two', label: '0° and 90°' },
                { value: 'four', label: 'every 45°' },
              ]}
            />
          </div>
        </div>
        <div className={styles.journalStops}>
          <Stops
            label="Journal"
            wraps
            value={row.id}
            onChange={(rowId) => choose({ rowId, place: { station: 'front', angleDeg: 0 } })}
            stops={document.journals.map((one) => ({ value: one.id, label: one.journal.id, spoken: journalWord(one.journal) }))}
          />
        </div>
        <div className={styles.wide}>
          {table(
            'pin',
            document.journals.filter((one) => one.journal.kind === 'pin'),
          )}
          {table(
            'main',
            document.journals.filter((one) => one.journal.kind === 'main'),
          )}
        </div>
        <div className={styles.narrow}>{table(row.journal.kind, [row])}</div>
        <ReadingsExtra
          row={row}
          readings={readings}
          others={placedReadings(row.journal, readings, angles).others}
          onRemove={(reading) =>
            save(
              row,
              readings.filter((other) => other !== reading),
            )
          }
          onDiameter={(diameter) => {
            const journal = { ...row.journal, diameter }
            update((before) => withJournal(before, { ...row, journal }))
            queue.put(journalWrite(row, journal))
          }}
        />
        <div className={styles.go}>
          <ButtonLink thumb href={`/shafts/${document.shaft.id}/bench`}>
            Next: photographs
          </ButtonLink>
        </div>
      </section>
      <div className={styles.side}>
        <ReadingEntry
          ref={field}
          row={row}
          place={chosen.place}
          text={text}
          asked={pressed === 'asks' ? odd : null}
          fault={pressed === 'unreadable'}
          hasReading={standing !== undefined}
          standardMin={standard?.[row.journal.kind]?.[0]}
          onText={(next) => {
            setTyped(next)
            setPressed('no')
          }}
          onEnter={enter}
          onUse={(likely) => keepAndGoOn(likely, false)}
          onRight={() => mm !== null && keepAndGoOn(mm, true)}
          onRemove={() => {
            keep(null)
            go(chosen)
          }}
        />
      </div>
    </div>
  )
}

/** In the order of the tables: one micrometer serves all pins, the next all mains. */
function placesOf(document: ShaftDocument, angles: readonly number[]): Chosen[] {
  const inOrder = (['pin', 'main'] as const).flatMap((kind) => document.journals.filter((row) => row.journal.kind === kind))
  return inOrder.flatMap((row) =>
    stations.flatMap((station) => angles.map((angleDeg) => ({ rowId: row.id, place: { station, angleDeg } }))),
  )
}

function readingAt(document: ShaftDocument, angles: readonly number[], { rowId, place }: Chosen): Reading | undefined {
  const row = document.journals.find((candidate) => candidate.id === rowId)
  return row && placedReadings(row.journal, readingsOf(document, row), angles).byPlace.get(placeKey(place))
}

function firstEmpty(document: ShaftDocument, angles: readonly number[]): Chosen | null {
  return placesOf(document, angles).find((place) => !readingAt(document, angles, place)) ?? null
}

/** The next place without a reading, behind the chosen one and round to the front; null where every other place has one. */
function nextEmpty(document: ShaftDocument, angles: readonly number[], chosen: Chosen): Chosen | null {
  const places = placesOf(document, angles)
  const at = places.findIndex((place) => place.rowId === chosen.rowId && placeKey(place.place) === placeKey(chosen.place))
  const round = [...places.slice(at + 1), ...places.slice(0, at)]
  return round.find((place) => !readingAt(document, angles, place)) ?? null
}

function confirmKey(row: JournalRow, place: Place): string {
  return `${row.id} ${placeKey(place)}`
}

function missing(): never {
  throw new Error('a shaft without journals has no place to measure')
}
