'use client'
/** The fit of the photograph in hand, redrawn with every move: warm-started from the last one while a handle is held, from scratch when it is let go. */
import { useMemo, useRef } from 'react'
import type { Journal } from '@/lib/model/journal'
import type { Handles, Photo } from '@/lib/model/photo'
import { type Fit, fitPhoto } from '@/lib/photo/cylinder-fit'
import type { LensData } from '@/lib/photo/lens-priors'
import { type FitResult, fitOf } from './fit-cache'

/**
 * @param draft the handles while one of them is held; null: as the photograph has them
 * @param settled the fit that all photographs of the journal settle together, where this one shows the printed strip; held handles wait for it
 */
export function useLiveFit(
  journal: Journal,
  photo: Photo,
  lens: LensData | null,
  draft: Handles | null,
  settled: FitResult | null,
): FitResult {
  const last = useRef<{ photo: Photo; fit: Fit } | null>(null)
  return useMemo(() => {
    if (settled !== null) return settled
    if (draft === null) {
      const result = fitOf(journal, photo, lens)
      last.current = result.ok ? { photo, fit: result.value } : null
      return result
    }
    const from = last.current?.photo.id === photo.id ? last.current.fit : undefined
    const result = fitPhoto(journal, { ...photo, handles: draft }, lens, from)
    if (result.ok) last.current = { photo, fit: result.value }
    return result
  }, [journal, photo, lens, draft, settled])
}
