'use client'
/** The printed strip in the photograph in hand: how many codes were found, what to check on it, and the switch to search for it or not. */
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import { Button } from '@/components/ui/button'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import type { StripOfFit } from '@/lib/photo/cylinder-fit'
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
      {fit.ok && fit.value.strip ? foundWords(fit.value.strip) : null}{' '}
      <Button kind="flat" onPress={() => choose('Leave the printed strip out', null)}>
        Leave the strip out
      </Button>
    </p>
  )
}

function foundWords({ markers: { length: codes }, rims }: StripOfFit): string {
  const found = `${codes} code${codes === 1 ? '' : 's'} of the printed strip found: no pick is needed here. See whether its word FRONT lies where the picture says so; an oil hole or a ring picked in any one picture places all.`
  const used = rims.filter((rim) => rim.used).map(({ holeId }) => holeId)
  return used.length === 0
    ? found
    : `${found} The rim of oil hole ${used.join(', ')} was measured here (cross); it counts within the noise of its pick.`
}
