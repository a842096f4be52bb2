'use client'
/** What to photograph next of the journal on the bench, worked out anew, after everything else, whenever a photograph or a fit has changed. */
import { useDeferredValue, useMemo, useRef, useState } from 'react'
import type { JournalModel } from '@/components/editor/bench-model'
import { surfaceOf } from '@/lib/journal/surface'
import { type NextPhoto, nextPhoto, type TakenPhoto, usualLens } from '@/lib/photo/next-photo'
import { standpointViews } from '@/lib/photo/standpoint-gain'

export type NextPhotoState = {
  /** null: not worked out yet. */
  next: NextPhoto | null
  /** Whether it is drawn on the map: at first only where no mark has to be read there. */
  onMap: boolean
  show: (onMap: boolean) => void
}

export function useNextPhoto(model: JournalModel): NextPhotoState {
  const [shown, show] = useState<boolean | null>(null)
  const later = useDeferredValue<JournalModel | null>(model, null)
  const next = useAdvice(later)
  return { next, onMap: shown ?? model.marks.length === 0, show }
}

/** Worked out anew only where a photograph, its fit or what is left out of it has changed: marks change nothing here. */
function useAdvice(model: JournalModel | null): NextPhoto | null {
  const kept = useRef<readonly TakenPhoto[]>([])
  const now = model ? takenPhotos(model) : []
  if (!sameTaken(kept.current, now)) kept.current = now
  const taken = kept.current
  const journal = model?.row.value ?? null
  const { width, height, focalPx } = usualLens(taken)
  const views = useMemo(() => journal && standpointViews(surfaceOf(journal), { width, height, focalPx }), [journal, width, height, focalPx])
  return useMemo(() => journal && views && nextPhoto(journal, surfaceOf(journal), taken, views), [journal, taken, views])
}

function takenPhotos(model: JournalModel): TakenPhoto[] {
  return model.photos.map((row) => {
    const fit = model.fits.get(row.id)
    return { id: row.value.id, fit: fit?.ok ? fit.value : null, ignore: row.value.ignore }
  })
}

function sameTaken(one: readonly TakenPhoto[], other: readonly TakenPhoto[]): boolean {
  return (
    one.length === other.length &&
    one.every(({ id, fit, ignore }, i) => id === other[i]?.id && fit === other[i].fit && ignore === other[i].ignore)
  )
}
