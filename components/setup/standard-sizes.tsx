'use client'
/** The engine maker's range of size for pins and mains: kept with the shaft, asked against when readings are typed. */
import { useState } from 'react'
import { LengthField } from '@/components/ui/length-field'
import { useSaveQueue } from '@/components/ui/save-context'
import { useShaft } from '@/components/ui/shaft-document'
import type { Cut } from '@/lib/model/cut'
import type { Journal } from '@/lib/model/journal'
import { usualLengths } from '@/lib/model/likely-length'
import type { ShaftDocument } from '@/lib/model/rows'
import type { StandardSize } from './new-shaft-draft'
import styles from './setup.module.css'

const noCut: Cut = { standard: {}, ladder: {}, platingPerSide: null }

export function StandardSizes({ document }: { document: ShaftDocument }) {
  const kinds = (['pin', 'main'] as const).filter((kind) => document.journals.some((row) => row.journal.kind === kind))
  if (kinds.length === 0) return null
  return (
    <section className={`sheet ${styles.panel} ${styles.standard}`}>
      <h2>Standard sizes</h2>
      <p className="note">From the engine maker’s data. They may stay empty.</p>
      {kinds.map((kind) => (
        <Range key={kind} kind={kind} document={document} />
      ))}
    </section>
  )
}

function Range({ kind, document }: { kind: Journal['kind']; document: ShaftDocument }) {
  const queue = useSaveQueue()
  const { update } = useShaft()
  const row = document.shaft
  const kept = row.cut?.standard[kind]
  const [size, setSize] = useState<StandardSize>({ from: kept?.[0] ?? null, to: kept?.[1] ?? null })
  const half = (size.from === null) !== (size.to === null)
  const backwards = size.from !== null && size.to !== null && size.from > size.to

  function change(next: StandardSize) {
    setSize(next)
    const { from, to } = next
    if ((from === null) !== (to === null) || (from !== null && to !== null && from > to)) return
    const { [kind]: _, ...others } = row.cut?.standard ?? {}
    const standard = from === null || to === null ? others : { ...others, [kind]: [from, to] as [number, number] }
    const cut = { ...(row.cut ?? noCut), standard }
    update((before) => ({ ...before, shaft: { ...before.shaft, cut } }))
    queue.put({
      key: `shaft:${row.id}`,
      label: 'The standard sizes',
      method: 'PUT',
      path: `/api/shafts/${row.id}`,
      body: { shaft: row.shaft, cut },
      version: row.version,
    })
  }

  const word = kind === 'pin' ? 'Pins' : 'Mains'
  return (
    <div className={styles.two}>
      <LengthField
        label={`${word}, from`}
        kind="reading"
        optional
        value={size.from}
        usual={usualLengths.diameter}
        fault={half && size.from === null ? 'Type both sizes of the range, or neither.' : null}
        onChange={(from) => change({ ...size, from })}
      />
      <LengthField
        label={`${word}, to`}
        kind="reading"
        optional
        value={size.to}
        usual={usualLengths.diameter}
        fault={
          backwards
            ? 'The smaller size comes first. Change the two round.'
            : half && size.to === null
              ? 'Type both sizes of the range, or neither.'
              : null
        }
        onChange={(to) => change({ ...size, to })}
      />
    </div>
  )
}
