'use client'
/** The shared cursor on a photograph, where that place of the map is seen in it. */
import { Cursor } from '@/components/map/cursor'
import { type CursorStore, useCursor } from '@/components/map/map-cursor'
import type { SteelColours } from '@/components/map/steel-colours'
import { toScreen, type View } from '@/components/map/view'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { visiblePixel } from './surface-curves'

export function PhotoCursor({ cursor, fit, view, colours }: { cursor: CursorStore; fit: Fit; view: View; colours: SteelColours }) {
  const at = useCursor(cursor)
  const seen = at && fit.rollKnown && fit.slideKnown ? visiblePixel(fit.surface, fit.camera, at) : null
  return seen ? <Cursor at={toScreen(view, { x: seen.u, y: seen.v })} colours={colours} /> : null
}
