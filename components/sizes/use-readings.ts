'use client'
/** A shaft's readings: set at a place, and saved by themselves. */
import { useSaveQueue } from '@/components/ui/save-context'
import { useShaft } from '@/components/ui/shaft-document'
import { newRow, placed } from '@/components/ui/shaft-rows'
import { journalWord } from '@/components/ui/shaft-words'
import type { Reading } from '@/lib/model/cut'
import type { JournalRow, ShaftDocument } from '@/lib/model/rows'

export function readingsOf(document: ShaftDocument, row: JournalRow): readonly Reading[] {
  return document.sizes.find((sizes) => sizes.sizes.journalId === row.journal.id)?.sizes.readings ?? []
}

export function useSaveReadings(document: ShaftDocument): (row: JournalRow, readings: Reading[]) => void {
  const queue = useSaveQueue()
  const { update } = useShaft()
  return (row, readings) => {
    const known = document.sizes.find((sizes) => sizes.sizes.journalId === row.journal.id)
    const sizes = { journalId: row.journal.id, readings }
    const label = `Readings of ${journalWord(row.journal).toLowerCase()}`
    if (known) {
      update((before) => ({ ...before, sizes: placed(before.sizes, { ...known, sizes }) }))
      queue.put({ key: `sizes:${known.id}`, label, method: 'PUT', path: `/api/sizes/${known.id}`, body: { sizes }, version: known.version })
      return
    }
    const made = newRow(crypto.randomUUID(), document.shaft.id)
    update((before) => ({ ...before, sizes: placed(before.sizes, { ...made, sizes }) }))
    const path = `/api/shafts/${document.shaft.id}/sizes`
    queue.put({ key: `sizes:${made.id}`, label, method: 'POST', path, body: { id: made.id, sizes }, version: null })
  }
}
