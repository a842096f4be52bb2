'use client'
/** The printed strip in the photograph in hand: how many codes were found, what to check on it, and the switch to search for it or not. */
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import { Button } from '@/components/ui/button'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import type { FitResult } from './fit-cache'

export function StripAsk({ row, journal, fit, store }: { row: Row<Photo>; journal: Journal; fit: FitResult; store: BenchStore }) {
  const photo = row.value
  const { strip } = photo.handles
  if (!journal.strip && strip === null) return null
  const choose = (words: string, next: Photo['handles']['strip']) =>
    store.perform(words, [{ kind: 'photo', id: row.id, before: photo, after: { ...photo, handles: { ...photo.handles, strip: next } } }])
  if (strip === null)
    return (
      <p>
        <Button kind="flat" onPress={() => choose('Look for the printed strip', 'find')}>
          Look for the printed strip
        </Button>
      </p>
    )
  return (
    <p>
      {fit.ok && fit.value.strip ? foundWords(fit.value.strip.markers.length) : null}{' '}
      <Button kind="flat" onPress={() => choose('Leave the printed strip out', null)}>
        Leave the strip out
      </Button>
    </p>
  )
}

function foundWords(codes: number): string {
  return `${codes} code${codes === 1 ? '' : 's'} of the printed strip found: no pick is needed here. See whether its word FRONT lies where the picture says so; an oil hole or a ring picked in any one picture places all.`
}
