/** Which photograph each place of a rollout comes from: asked at a place, and as lines where one photograph hands over to the next. */
import type { MapPoint } from '@/lib/journal/surface'
import type { RolloutStripe } from '@/lib/rollout/rollout'
import { withinTurn } from './map-sheet'

/** `of`: an index of `photos` for each pixel of the map, rear first; 255 where none shows it. */
export type MapSources = { width: number; height: number; photos: readonly string[]; of: Uint8Array }

export function emptySources(size: { width: number; height: number }, photos: readonly string[]): MapSources {
  return { ...size, photos, of: new Uint8Array(size.width * size.height).fill(nobody) }
}

export function takeSources(sources: MapSources, { firstRow, rows, width, blocks }: RolloutStripe): void {
  sources.of.fill(nobody, firstRow * width, (firstRow + rows) * width)
  for (const { firstColumn, columns, sources: of } of blocks) {
    for (let row = 0; of && row < rows; row++)
      sources.of.set(of.subarray(row * columns, (row + 1) * columns), (firstRow + row) * width + firstColumn)
  }
}

/** The name of the photograph that shows a place; null where none does. */
export function photoAt({ width, height, photos, of }: MapSources, { theta, s }: MapPoint, totalS: number): string | null {
  const column = Math.min(width - 1, Math.floor((withinTurn(theta) / (2 * Math.PI)) * width))
  const row = Math.min(height - 1, Math.max(0, Math.floor((1 - s / totalS) * height)))
  return photos[of[row * width + column] ?? nobody] ?? null
}

export type Handovers = {
  /** Straight pieces of the lines between photographs. */
  lines: [MapPoint, MapPoint][]
  /** Where a photograph's name stands: in the middle of the widest run of it. */
  names: { name: string; at: MapPoint }[]
}

export function handoversOf({ width, height, photos, of }: MapSources, totalS: number): Handovers {
  const at = (column: number, row: number) => of[Math.min(height - 1, row) * width + (column % width)] ?? nobody
  const point = (column: number, row: number): MapPoint => {
    return { theta: (column / width) * 2 * Math.PI, s: totalS * (1 - Math.min(height, row) / height) }
  }
  const lines: Handovers['lines'] = []
  for (let row = 0; row < height; row += stepPx) {
    for (let column = 0; column < width; column += stepPx) {
      const here = at(column, row)
      if (column > 0 && at(column - stepPx, row) !== here) lines.push([point(column, row), point(column, row + stepPx)])
      if (row > 0 && at(column, row - stepPx) !== here) lines.push([point(column, row), point(column + stepPx, row)])
    }
  }
  const names = photos.flatMap((name, photo) => {
    const widest = widestRun(width, height, (column, row) => at(column, row) === photo)
    return widest ? [{ name, at: point((widest.from + widest.to) / 2, widest.row) }] : []
  })
  return { lines, names }
}

const nobody = 255
const stepPx = 4

/** Of the rows about the middle of the map, if any: at its edge a name is cut off. */
function widestRun(width: number, height: number, holds: (column: number, row: number) => boolean) {
  let widest: { row: number; from: number; to: number; inside: boolean } | null = null
  for (let row = stepPx; row < height; row += 4 * stepPx) {
    const inside = row > height / 5 && row < (height * 4) / 5
    let from = 0
    for (let column = 0; column <= width; column += stepPx) {
      if (column < width && holds(column, row)) continue
      const wider = !widest || (inside === widest.inside ? column - from > widest.to - widest.from : inside)
      if (column > from && wider) widest = { row, from, to: column, inside }
      from = column + stepPx
    }
  }
  return widest
}
