/** Which photographs have a share in a block of the map, and which parts of it one photograph alone shows. */
import type { Block, WarpJob } from './warp-plan'

/** Whether a photograph has a share in any cell of the blend that a block touches. */
export function bearsOn({ grid, seams }: WarpJob, index: number, { firstRow, rows, firstColumn, columns }: Block): boolean {
  if (!seams) return true
  const perColumn = seams.columns / grid.width
  const perRow = seams.rows / grid.height
  const left = Math.floor(firstColumn * perColumn) - 1
  const right = Math.ceil((firstColumn + columns) * perColumn)
  // cells count from the front, rows of the map from the rear
  const lowest = Math.max(0, Math.floor((grid.height - firstRow - rows) * perRow) - 1)
  const highest = Math.min(seams.rows - 1, Math.ceil((grid.height - firstRow) * perRow))
  for (let row = lowest; row <= highest; row++) {
    for (let column = left; column <= right; column++) {
      if (seams.shares[index][row * seams.columns + ((column + seams.columns) % seams.columns)] > 0) return true
    }
  }
  return false
}

/** Part of a block, and the photograph that alone has a share in it; null where several have. */
export type Part = Block & { alone: number | null }

/** A block in parts, from left to right; what no photograph has a share in is left out. */
export function partsOf(job: WarpJob, block: Block): Part[] {
  const { firstRow, rows, firstColumn, columns } = block
  const parts: Part[] = []
  for (let column = 0; column < columns; column += partColumns) {
    const part = { firstRow, rows, firstColumn: firstColumn + column, columns: Math.min(partColumns, columns - column) }
    const bearing = job.views.flatMap((_, index) => (bearsOn(job, index, part) ? [index] : []))
    if (bearing.length === 0) continue
    const alone = bearing.length === 1 ? bearing[0] : null
    const last = parts.at(-1)
    if (last && last.alone === alone && last.firstColumn + last.columns === part.firstColumn) last.columns += part.columns
    else parts.push({ ...part, alone })
  }
  return parts
}

const partColumns = 64
