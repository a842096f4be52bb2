/** A mark as the pictures show it: where it lies on the map, what it is judged, whether it is chosen. */
import type { MapPoint } from '@/lib/journal/surface'
import type { MarkConcern } from '@/lib/model/findings'

export type BenchMark = {
  rowId: string
  letter: string
  closed: boolean
  /** Its vertices; null where its photograph has no fit yet. */
  vertices: readonly MapPoint[] | null
  /** The photograph it was drawn on, with its pixels there. */
  drawn: { photoId: string; pixels: readonly [number, number][] } | null
  /** null: being drawn, not judged yet. */
  concern: MarkConcern | null
  chosen: boolean
  /** Its vertices can be taken hold of. */
  open: boolean
  chosenVertex: number | null
}
