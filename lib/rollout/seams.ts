/**
 * Who shows each place of the map. Blending whole photographs over all that they share would lay their small misplacements over each other as
 * ghosts and take the sharpest one's edge away, so two bands are blended apart (P. J. Burt and E. H. Adelson, "A multiresolution spline with
 * application to image mosaics", 1983): what is coarser than a cell, brightness and tint, comes from all by their weights; what is finer from one
 * photograph alone, its owner, which hands over to the next across one cell. The owner of a cell is who weighs most there, where neighbours prefer
 * the same (iterated conditional modes, J. Besag, "On the statistical analysis of dirty pictures", 1986).
 */
import type { Surface } from '../journal/surface'
import { emptyPointView, rowView, viewPoint } from '../photo/row-view'
import { isWhole, visibleMargin } from './blend'
import { gainsAt } from './gain-field'
import { type CellGrid, cellGrid } from './map-cells'
import { borderPxIn, colourIn, weightIn, type WarpView } from './warp-view'

/** For each cell of the map, the first row at the front. */
export type Seams = CellGrid & {
  /** One array for each photograph: 1 where it is the owner, next to nothing where it only stands in, 0 where the owner shows the cell all round. */
  shares: Float32Array[]
  tones: Tones[]
}

/** Red, green, blue. */
type Tones = [Float32Array, Float32Array, Float32Array]

/** Null for a single photograph: it owns all it shows. */
export function seamsOf(surface: Surface, views: readonly WarpView[]): Seams | null {
  if (views.length < 2) return null
  const grid = cellGrid(surface)
  const shown = views.map((view) => cellsSeen(surface, view, grid))
  const owners = ownersOf(grid, shown)
  const shares = shown.map((_, view) =>
    Float32Array.from(owners, (owner, cell) => (owner === view ? 1 : owner !== nobody && shown[owner].whole[cell] === 1 ? 0 : standsIn)),
  )
  return { ...grid, shares, tones: tonesOf(grid, shown) }
}

const nobody = 255
/** Enough to cover where the owner's view ends within the cell, nothing beside it. */
const standsIn = 1e-3

/** Each cell in one photograph: weights 0 where it is not in sight. */
type CellsSeen = {
  /** As in the blend, highlights and places where others disagree apart. */
  weights: Float32Array
  keeps: Float32Array
  colours: [Float32Array, Float32Array, Float32Array]
  /** 1 where the photograph shows the cell and those around it. */
  whole: Uint8Array
}

function cellsSeen(surface: Surface, view: WarpView, grid: CellGrid): CellsSeen {
  const count = grid.columns * grid.rows
  const seen: CellsSeen = {
    weights: new Float32Array(count),
    keeps: new Float32Array(count).fill(1),
    colours: [new Float32Array(count), new Float32Array(count), new Float32Array(count)],
    whole: new Uint8Array(count),
  }
  const { camera, exposure } = view
  const point = emptyPointView()
  const gains = new Float64Array(3).fill(1)
  const colour = new Float64Array(3)
  const cellMm = Math.max(surface.totalS / grid.rows, (2 * Math.PI * surface.radius) / grid.columns)
  for (let row = 0; row < grid.rows; row++) {
    const s = ((row + 0.5) / grid.rows) * surface.totalS
    const terms = rowView(surface, camera, s)
    for (let column = 0; column < grid.columns; column++) {
      const theta = ((column + 0.5) / grid.columns) * 2 * Math.PI
      if (!viewPoint(terms, Math.cos(theta), Math.sin(theta), point) || visibleMargin(point) <= 0) continue
      const border = borderPxIn(view, point)
      if (border <= 0) continue
      const cell = row * grid.columns + column
      colourIn(view, point, colour)
      if (exposure.even) {
        gainsAt(exposure.even.field, theta, s, gains)
        seen.keeps[cell] = exposure.even.keeps[cell]
      }
      seen.weights[cell] = weightIn(view, point, border, colour)
      for (let c = 0; c < 3; c++) seen.colours[c][cell] = colour[c] * gains[c]
      // in a fillet the view changes from in sight to out of sight within a cell
      const onCylinder = s > surface.frontTangentS + cellMm && s < surface.rearTangentS - cellMm
      if (onCylinder && isWhole(point, border, 2 * cellMm, camera.focalPx, view.fadePx)) seen.whole[cell] = 1
    }
  }
  return seen
}

/** What a neighbour of the same owner is worth, in natural logarithms of weight. */
const neighbourWorth = 0.25
const rounds = 4

/** Index of the photograph that owns each cell, 255 where none shows it. */
function ownersOf(grid: CellGrid, shown: readonly CellsSeen[]): Uint8Array {
  const scores = shown.map(({ weights, keeps }) => Float32Array.from(weights, (weight, cell) => Math.log(weight * keeps[cell])))
  const owners = new Uint8Array(grid.columns * grid.rows).fill(nobody)
  for (let round = 0; round <= rounds; round++) {
    for (let cell = 0; cell < owners.length; cell++) {
      let [best, most] = [nobody, Number.NEGATIVE_INFINITY]
      for (let view = 0; view < shown.length; view++) {
        if (scores[view][cell] === Number.NEGATIVE_INFINITY) continue
        const score = scores[view][cell] + (round === 0 ? 0 : neighbourWorth * neighboursOf(grid, owners, cell, view))
        if (score > most) [best, most] = [view, score]
      }
      owners[cell] = best
    }
  }
  return owners
}

function neighboursOf({ columns, rows }: CellGrid, owners: Uint8Array, cell: number, view: number): number {
  const row = Math.floor(cell / columns)
  const column = cell - row * columns
  let count = 0
  for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++) {
    for (let c = column - 1; c <= column + 1; c++) {
      const at = r * columns + ((c + columns) % columns)
      if (at !== cell && owners[at] === view) count++
    }
  }
  return count
}

/** A tone is held within this, and smoothed with its neighbours: at edges of stains photographs differ by their own sharpness. */
const mostTone = 1.6

/** What each photograph's red, green and blue are multiplied with to be as bright as all on the whole. */
function tonesOf(grid: CellGrid, shown: readonly CellsSeen[]): Tones[] {
  const count = grid.columns * grid.rows
  const wide = [0, 1, 2].map((c) => {
    const sums = new Float32Array(count)
    for (let cell = 0; cell < count; cell++) {
      let [sum, weight] = [0, 0]
      for (const { weights, keeps, colours } of shown) {
        sum += weights[cell] * keeps[cell] * colours[c][cell]
        weight += weights[cell] * keeps[cell]
      }
      sums[cell] = weight > 0 ? sum / weight : 0
    }
    return sums
  })
  const most = Math.log(mostTone)
  return shown.map(({ weights, colours }) => {
    const tone = (c: number) => {
      const logs = wide[c].map((value, cell) => Math.log((value + nearBlack) / (colours[c][cell] + nearBlack)))
      return smoothed(grid, logs, weights).map((log) => Math.exp(Math.max(-most, Math.min(most, log))))
    }
    return [tone(0), tone(1), tone(2)]
  })
}

/** Grey levels; near-black has no tone. */
const nearBlack = 2

/** The mean of a cell, twice, and its neighbours, as far as the photograph shows them. */
function smoothed({ columns, rows }: CellGrid, values: Float32Array, weights: Float32Array): Float32Array {
  return values.map((_, cell) => {
    const row = Math.floor(cell / columns)
    let [sum, weight] = [0, 0]
    for (let r = Math.max(0, row - 1); r <= Math.min(rows - 1, row + 1); r++) {
      for (let k = -1; k <= 1; k++) {
        const at = r * columns + ((cell - row * columns + k + columns) % columns)
        const share = weights[at] > 0 ? (r === row ? 2 : 1) * (k === 0 ? 2 : 1) : 0
        sum += share * values[at]
        weight += share
      }
    }
    return weight > 0 ? sum / weight : 0
  })
}
