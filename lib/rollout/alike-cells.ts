/**
 * Where a photograph shows something else than the others: a finger, a rag, a web in the way. After exposures are evened out, a cell in which one
 * photograph has another tint, or is darker than two or more that agree, keeps little of its weight. Highlights, which are brighter, are
 * `even-out.ts`'s. Tints are compared as ln(red / green) and ln(blue / green); where they disagree, who is nearer to the tint of this
 * journal's steel is believed sooner. Limits are from rendered photographs; no published source.
 */
import { median } from '../journal/median'
import type { CellGrid } from './map-cells'

/** What photographs show of cells that two or more share, in parallel arrays, one entry for each photograph and cell. */
export type EvenedCells = {
  views: Int32Array
  cells: Int32Array
  /** Natural logarithms of red, green, blue, exposure evened out. */
  logs: readonly Float64Array[]
}

/** For each photograph and cell the share of its weight that it keeps; 1 where nothing contradicts it. */
export function alikeShares(evened: EvenedCells, viewCount: number, grid: CellGrid): Float32Array[] {
  const count = grid.columns * grid.rows
  const entries = entriesOf(evened)
  const steel = [0, 1].map((c) => median(entries.map(({ tint }) => tint[c])))
  const shares = Array.from({ length: viewCount }, () => new Float32Array(count).fill(1))
  const byCell: Entry[][] = Array.from({ length: count }, () => [])
  for (const entry of entries) byCell[entry.cell].push(entry)
  for (const [cell, together] of byCell.entries()) {
    if (together.length < 2) continue
    const tint = believedTint(together, steel)
    for (const entry of together) shares[entry.view][cell] = tintShare(entry, tint) * darknessShare(entry, together)
  }
  return shares
}

type Entry = { view: number; cell: number; green: number; tint: [number, number] }

const tintScale = 0.07
const believedScale = 0.1
const leastKept = 1e-3
const agreeWithin = 0.2
const darkerFrom = 0.15
const darkerScale = 0.15

function entriesOf({ views, cells, logs: [red, green, blue] }: EvenedCells): Entry[] {
  return Array.from(views, (view, i) => ({ view, cell: cells[i], green: green[i], tint: [red[i] - green[i], blue[i] - green[i]] }))
}

function believedTint(together: readonly Entry[], steel: readonly number[]): number[] {
  const sums = [0, 0, 0]
  for (const { tint } of together) {
    const belief = 1 / (1 + (apart(tint, steel) / believedScale) ** 2) ** 2
    sums[0] += belief * tint[0]
    sums[1] += belief * tint[1]
    sums[2] += belief
  }
  return [sums[0] / sums[2], sums[1] / sums[2]]
}

function tintShare({ tint }: Entry, believed: readonly number[]): number {
  return Math.max(leastKept, 1 / (1 + (apart(tint, believed) / tintScale) ** 2) ** 2)
}

function darknessShare({ view, green }: Entry, together: readonly Entry[]): number {
  const others = together.filter((one) => one.view !== view).map((one) => one.green)
  if (others.length < 2) return 1
  const [least, most] = [Math.min(...others), Math.max(...others)]
  const darker = least - green - darkerFrom
  return most - least > agreeWithin || darker <= 0 ? 1 : Math.max(leastKept, 1 / (1 + (darker / darkerScale) ** 2) ** 2)
}

function apart(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1])
}

/** What lies in the way, or shines, ends within a cell: its neighbours keep no more than it does. */
export function leastAround({ columns, rows }: CellGrid, shares: Float32Array): Float32Array {
  return shares.map((share, cell) => {
    const row = Math.floor(cell / columns)
    let least = share
    for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++)
      for (let k = -1; k <= 1; k++) least = Math.min(least, shares[r * columns + ((cell - row * columns + k + columns) % columns)])
    return least
  })
}
