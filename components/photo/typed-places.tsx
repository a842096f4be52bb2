'use client'
/** Where a thing stands that one typed the place of: a witness mark, an inked ring. Of the chosen one, or of the next to be set. */
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import type { HandlesState } from '@/components/editor/tools/handles-tool'
import { AngleField } from '@/components/ui/angle-field'
import { Button } from '@/components/ui/button'
import { LengthField } from '@/components/ui/length-field'
import type { Journal } from '@/lib/model/journal'
import type { Handles, Photo } from '@/lib/model/photo'
import styles from './fit-bench.module.css'
import type { FitPlaces } from './fit-steps'

type Typed = {
  row: Row<Photo>
  journal: Journal
  places: FitPlaces
  onPlaces: (places: FitPlaces) => void
  store: BenchStore
}

const beyond = 'This lies beyond a cheek. Type the distance along the journal.'

export function ClockFields({ row, journal, tool, places, onPlaces, store }: Typed & { tool: HandlesState }) {
  const { handles } = row.value
  const index = tool.chosen?.part === 'clock' ? tool.chosen.index : null
  const set = index === null ? undefined : handles.clock[index]
  const shown = set ?? places.clock
  const change = (part: { angleDeg?: number; axial?: number }) => {
    onPlaces({ ...places, clock: { ...places.clock, ...part } })
    if (!set) return
    const clock = handles.clock.map((one, at) => (at === index ? { ...one, ...part } : one))
    keep(store, row, { ...handles, clock }, 'Place a witness mark')
  }
  return (
    <div className={styles.fields}>
      <AngleField
        key={`a${index}`}
        label="Its angle"
        value={shown.angleDeg}
        onChange={(angleDeg) => angleDeg !== null && change({ angleDeg })}
      />
      <LengthField
        key={`l${index}`}
        label="Mark, from the front cheek"
        value={shown.axial}
        positive={false}
        fault={onJournal(shown.axial, journal) ? null : beyond}
        onChange={(axial) => axial !== null && onJournal(axial, journal) && change({ axial })}
      />
    </div>
  )
}

export function InkedRingField({ row, journal, places, onPlaces, store }: Typed) {
  const { handles } = row.value
  const ring = handles.rings.findIndex((one) => one.at === places.inked)
  const change = (inked: number) => {
    onPlaces({ ...places, inked })
    if (ring < 0) return
    const rings = handles.rings.map((one, at) => (at === ring ? { ...one, at: inked } : one))
    keep(store, row, { ...handles, rings }, 'Place an inked ring')
  }
  return (
    <div className={styles.fields}>
      <LengthField
        key={ring < 0 ? 'next' : ring}
        label="Ring, from the front cheek"
        value={places.inked}
        onChange={(axial) => axial !== null && onJournal(axial, journal) && change(axial)}
      />
      {ring < 0 ? null : (
        <Button kind="flat" onPress={() => onPlaces({ ...places, inked: null })}>
          Another inked ring
        </Button>
      )}
    </div>
  )
}

function onJournal(axial: number, journal: Journal): boolean {
  return axial >= 0 && axial <= journal.width
}

function keep(store: BenchStore, row: Row<Photo>, handles: Handles, words: string) {
  store.perform(words, [{ kind: 'photo', id: row.id, before: row.value, after: { ...row.value, handles } }])
}
