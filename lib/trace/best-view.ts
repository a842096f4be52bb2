/**
 * Which photograph tells of each place: where one sees it clearly more squarely than another, that one alone. Three photographs under ultraviolet
 * share only what both see steeply, in which a fit is some tenths of a mm off around: a line would show twice.
 */
import { type LineGrid, wrappedColumn } from './line-grid'
import type { LineStrip } from './line-strip'

/** Cosines of the view to the surface's normal that count as alike: some degrees in which one photograph fades into the other. */
const alike = 0.1

/** The strips less what another sees better. */
export function byBestView(grid: LineGrid, strips: readonly LineStrip[]): LineStrip[] {
  const best = new Float32Array(grid.columns * grid.rows)
  for (const strip of strips)
    for (let i = 0; i < strip.columns; i++) {
      const column = wrappedColumn(grid.columns, strip.first + i)
      for (let row = 0; row < strip.rows; row++) {
        const to = row * grid.columns + column
        if (strip.seen[row * strip.columns + i] && strip.facing[i] > best[to]) best[to] = strip.facing[i]
      }
    }
  return strips.map((strip) => {
    const seen = strip.seen.slice()
    for (let i = 0; i < strip.columns; i++) {
      const column = wrappedColumn(grid.columns, strip.first + i)
      for (let row = 0; row < strip.rows; row++)
        if (strip.facing[i] < best[row * grid.columns + column] - alike) seen[row * strip.columns + i] = 0
    }
    return { ...strip, seen }
  })
}
