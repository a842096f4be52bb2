'use client'
/** What to photograph next of the journal on the bench, worked out anew, after everything else, whenever a photograph or a fit has changed. */
import { useDeferredValue, useMemo, useState } from 'react'
import type { JournalModel } from '@/components/editor/bench-model'
import { type NextPhoto, nextPhoto, type TakenPhoto, usualLens } from '@/lib/photo/next-photo'
import { standpointViews } from '@/lib/photo/standpoint-gain'

export type NextPhotoState = {
  next: NextPhoto
  /** Whether it is drawn on the map: at first only where no mark has to be read there. */
  onMap: boolean
  show: (onMap: boolean) => void
}

export function useNextPhoto(model: JournalModel): NextPhotoState {
  const [shown, show] = useState<boolean | null>(null)
  const later = useDeferredValue(model)
  const journal = later.row.value
  const taken = useMemo(() => takenPhotos(later), [later])
  const { width, height, focalPx } = usualLens(taken)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the journal stands for its surface, which is made anew with every model
  const views = useMemo(() => standpointViews(later.surface, { width, height, focalPx }), [journal, width, height, focalPx])
  const next = useMemo(() => nextPhoto(journal, later.surface, taken, views), [journal, later, taken, views])
  return { next, onMap: shown ?? model.marks.length === 0, show }
}

function takenPhotos(model: JournalModel): TakenPhoto[] {
  return model.photos.map((row) => {
    const fit = model.fits.get(row.id)
    return { id: row.value.id, fit: fit?.ok ? fit.value : null, ignore: row.value.ignore }
  })
}
