/** The cells of a journal that were not photographed well, as runs along the angle: what the map hatches. */
import type { CoverageGrid } from '@/lib/photo/coverage'

/** Angles in radians, places in mm of meridian arc. */
export type UnseenRun = { fromTheta: number; toTheta: number; fromS: number; toS: number }
export type UnseenCells = readonly UnseenRun[]

export function unseenCells({ columns, rows, edgesS, seen }: CoverageGrid): UnseenCells {
  const runs: UnseenRun[] = []
  const theta = (column: number) => (column / columns) * 2 * Math.PI
  for (let row = 0; row < rows; row++) {
    let start: number | null = null
    for (let column = 0; column <= columns; column++) {
      const unseen = column < columns && seen[row * columns + column] === 0
      if (unseen && start === null) start = column
      if (unseen || start === null) continue
      runs.push({ fromTheta: theta(start), toTheta: theta(column), fromS: edgesS[row] ?? 0, toS: edgesS[row + 1] ?? 0 })
      start = null
    }
  }
  return runs
}
