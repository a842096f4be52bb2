'use client'
/** The shared cursor on a map: drawn again with every move, without the rest of the map. */
import { useSyncExternalStore } from 'react'
import type { ValueStore } from '@/components/editor/value-store'
import type { MapPoint } from '@/lib/journal/surface'
import { Cursor } from './cursor'
import { type MapSheet, onSheet } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { toScreen, type View } from './view'

export type CursorStore = ValueStore<MapPoint | null>

export function useCursor(cursor: CursorStore): MapPoint | null {
  return useSyncExternalStore(cursor.subscribe, cursor.get, () => null)
}

export function MapCursor({ cursor, sheet, view, colours }: { cursor: CursorStore; sheet: MapSheet; view: View; colours: SteelColours }) {
  const at = useCursor(cursor)
  return at ? <Cursor at={toScreen(view, onSheet(sheet, at))} colours={colours} /> : null
}
