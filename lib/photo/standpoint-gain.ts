/**
 * What a picture from a standpoint would add to what has been seen: the cells it would show well, by the geometry that coverage is counted by, and
 * what each missing cell is worth. Each fillet weighs as much as the whole cylinder, the inner half of a pin (towards the shaft's axis, where
 * bending opens its fillets) twice the outer half: weights of our own, no source.
 */
import { type MapPoint, radiusAt, type Surface } from '../journal/surface'
import type { Journal } from '../model/journal'
import { type CoverageGrid, coverageOf } from './coverage'
import { cameraAt, type Lens, type Standpoint, standpointOf } from './standpoint'

/** Parts of the surface that a picture can add to. */
export type JournalPart = 'cylinder' | 'front-fillet' | 'rear-fillet'
/** `share` of the part, 0..1, that only the new picture would show well. */
export type PartGain = { part: JournalPart; share: number }

/** One standpoint at angle 0 and the columns of each row that it would show well. Turned about the journal it shows the same, turned. */
export type StandpointView = {
  leanDeg: number
  nearness: Standpoint['nearness']
  /** On the metal before the camera. */
  pxPerMm: number
  cells: { row: number; columns: Uint16Array }[]
}

const innerHalfWeight = 2
const leansDeg = [0, 12, -12, 24, -24]
/** Going closer is only worth trying where it makes the picture that much sharper. */
const closerBy = 1.1

/** The views that are tried, for one journal and lens: worked out once, they serve every angle. */
export function standpointViews(surface: Surface, lens: Lens): StandpointView[] {
  return leansDeg.flatMap((leanDeg) => {
    const [whole, close] = (['whole', 'close'] as const).map((nearness) => {
      const camera = cameraAt(surface, lens, { facingDeg: 0, leanDeg, nearness })
      return { leanDeg, nearness, camera, pxPerMm: standpointOf(surface, camera).pxPerMm }
    })
    return (close.pxPerMm > whole.pxPerMm * closerBy ? [whole, close] : [whole]).map(({ camera, ...view }) => ({
      ...view,
      cells: cellsOf(coverageOf(surface, [], [{ camera, ignore: [] }]).grid),
    }))
  })
}

/** The share of its part that each cell of the grid is, weighted; row-major like the grid. */
export function cellWorths(journal: Journal, surface: Surface, { columns, rows, edgesS }: CoverageGrid): Float64Array {
  const worths = new Float64Array(rows * columns)
  const share = rowShares(surface, edgesS)
  for (let row = 0; row < rows; row++)
    for (let i = 0; i < columns; i++)
      worths[row * columns + i] =
        (share[row].share / columns) * (journal.kind === 'pin' && isInner((i + 0.5) / columns) ? innerHalfWeight : 1)
  return worths
}

/** The worth of the view's cells at this angle. @param missing by cell of the grid; 0 where the cell was seen */
export function gainOf(view: StandpointView, facingDeg: number, missing: Float64Array, { columns }: CoverageGrid): number {
  const turn = Math.round((facingDeg / 360) * columns)
  let gain = 0
  for (const { row, columns: shown } of view.cells) {
    const from = row * columns
    for (let k = 0; k < shown.length; k++) {
      const column = shown[k] + turn
      gain += missing[from + (column < columns ? column : column - columns)]
    }
  }
  return gain
}

/** What the view would add at this angle by part, the greatest share first, and the share of it that lies on the inner half. */
export function addedBy(
  surface: Surface,
  grid: CoverageGrid,
  view: StandpointView,
  facingDeg: number,
): { gains: PartGain[]; innerShare: number } {
  const { columns, edgesS, seen } = grid
  const turn = Math.round((facingDeg / 360) * columns)
  const shares = rowShares(surface, edgesS)
  const added = new Map<JournalPart, number>()
  let inner = 0
  let all = 0
  for (const { row, columns: shown } of view.cells) {
    const { part, share } = shares[row]
    for (const one of shown) {
      const column = (one + turn) % columns
      if (seen[row * columns + column]) continue
      added.set(part, (added.get(part) ?? 0) + share / columns)
      all += share
      if (isInner((column + 0.5) / columns)) inner += share
    }
  }
  const gains = [...added].map(([part, share]) => ({ part, share })).sort((a, b) => b.share - a.share)
  return { gains, innerShare: all > 0 ? inner / all : 0 }
}

/** Around the cells that the view shows well at this angle: up one side and down the other. */
export function outlineOf(view: StandpointView, facingDeg: number, { columns, edgesS }: CoverageGrid): MapPoint[] {
  const side = (hand: -1 | 1) =>
    view.cells.flatMap(({ row, columns: shown }): MapPoint[] => {
      // columns count from where the camera faces, those before it from the far end of the turn
      const offs = Array.from(shown, (one) => (one + 0.5 > columns / 2 ? one - columns : one))
      const edge = hand < 0 ? Math.min(...offs) : Math.max(...offs) + 1
      const theta = (facingDeg / 360 + edge / columns) * 2 * Math.PI
      const ends = [...(row === view.cells[0].row ? [edgesS[row]] : []), ...(row === view.cells.at(-1)?.row ? [edgesS[row + 1]] : [])]
      return (ends.length > 0 ? ends : [(edgesS[row] + edgesS[row + 1]) / 2]).map((s) => ({ theta, s }))
    })
  return [...side(-1), ...side(1).reverse()]
}

/** Each row's part of the surface, and the share of that part's area it holds. */
function rowShares(surface: Surface, edgesS: Float64Array): { part: JournalPart; share: number }[] {
  const rows = Array.from({ length: edgesS.length - 1 }, (_, row) => {
    const middle = (edgesS[row] + edgesS[row + 1]) / 2
    return { part: partAt(surface, middle), area: radiusAt(surface, middle) * (edgesS[row + 1] - edgesS[row]) }
  })
  const whole = (part: JournalPart) => rows.reduce((sum, row) => sum + (row.part === part ? row.area : 0), 0)
  const wholes = { cylinder: whole('cylinder'), 'front-fillet': whole('front-fillet'), 'rear-fillet': whole('rear-fillet') }
  return rows.map(({ part, area }) => ({ part, share: area / wholes[part] }))
}

function partAt(surface: Surface, s: number): JournalPart {
  if (s < surface.frontTangentS) return 'front-fillet'
  return s > surface.rearTangentS ? 'rear-fillet' : 'cylinder'
}

/** @param share of a turn. Zero on a pin is furthest from the shaft's axis. */
function isInner(share: number): boolean {
  return share > 0.25 && share < 0.75
}

function cellsOf({ columns, rows, seen }: CoverageGrid): StandpointView['cells'] {
  return Array.from({ length: rows }, (_, row) => ({
    row,
    columns: Uint16Array.from(Array.from({ length: columns }, (_, i) => i).filter((i) => seen[row * columns + i] === 1)),
  })).filter((one) => one.columns.length > 0)
}
