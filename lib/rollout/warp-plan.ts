/**
 * How a stripe of the map is filled from one photograph. The exact projection and weights are worked out at nodes, every few columns and rows, and run
 * straight between the four corners of a cell; `map-grid.ts` says how far nodes may stand apart. Where visibility ends within a cell the margin, which
 * also runs straight, tells each pixel; near outlines left out, and where the journal hides its own fillet, every pixel is worked out by itself.
 */
import { distanceToOutlines } from '../photo/outline'
import { emptyPointView, hiddenByJournal, projectPoint, type RowView, rowView, viewPoint } from '../photo/row-view'
import { leastCosine, visibleMargin } from './blend'
import { gainsAt } from './gain-field'
import { type CellPlace, cellPlaceAt, valueAt } from './map-cells'
import type { MapGrid, NodeSteps } from './map-grid'
import type { Seams } from './seams'
import { borderPxIn, colourIn, type WarpView, weightIn } from './warp-view'

/**
 * Nodes: 8 numbers each: weight times the gains of red, green, blue; weight; u and v in px of the picture; margin (above 0: visible); unused.
 * Where one photograph alone shows a part of the map its weight is 1.
 * Cells: 16 words each: first column, first row, columns, rows; first node, from it to the next column's, to the next row's; 1 where the
 * margin must be asked; halving to read; taps around and along; then as 32-bit floats the share of the cell that a row and a column make up.
 */
export type WarpPlan = { nodes: Float32Array; cells: Int32Array; count: number }

export const nodeSize = 8
export const cellSize = 16

const mostTaps = 8

/** A part of the map; `firstColumn` is a multiple of 64. */
export type Block = { firstRow: number; rows: number; firstColumn: number; columns: number }

/** What stays the same from block to block: the map, and what is known of each photograph beside its pixels. */
export type WarpJob = { grid: MapGrid; views: WarpView[]; seams: Seams | null }

/**
 * How one photograph fills a block, `alone` or among others; cells count rows and columns from its corner. The arrays are good until the next plan is
 * made.
 */
export function planBlock({ grid, views, seams }: WarpJob, index: number, block: Block, alone = false): WarpPlan {
  const { firstRow, rows } = block
  const plan = new PlanWriter(grid, views[index], seams, index, block, alone)
  for (let row = 0; row < rows; ) {
    const count = Math.min(stepAt(grid, grid.steps[index], firstRow + row), rows - row)
    plan.rowOfCells(firstRow, row, count)
    row += count
  }
  return plan.done()
}

function stepAt({ surface, height }: MapGrid, steps: NodeSteps, row: number): number {
  const perRow = surface.totalS / height
  const from = surface.totalS - (row + 0.5) * perRow
  const to = from - steps.rows * perRow
  const onCylinder = from <= surface.rearTangentS && to >= surface.frontTangentS
  return onCylinder ? steps.rows : steps.filletRows
}

const point = emptyPointView()
const gains = new Float64Array(3)
const colour = new Float64Array(3)
const place: CellPlace = { cells: new Int32Array(4), shares: new Float64Array(4) }
/** A node this far beyond the steepest angle is of no use even to its neighbours. */
const farBeyond = 0.4

/** Kept from plan to plan, and grown. */
let keptNodes = new Float32Array(1 << 15)
let keptCells = new Int32Array(1 << 15)

/** What a photograph's view of a row of the map comes to: blocks beside each other, and of several photographs in turn, ask for the same rows. */
const keptTerms = new WeakMap<WarpView, Map<number, RowView>>()
const mostTerms = 256

class PlanWriter {
  private nodes = keptNodes
  private nodeCount = 0
  private cells = keptCells
  private asFloats = new Float32Array(this.cells.buffer)
  private count = 0
  private last: { row: number; first: number } | null = null
  private readonly terms: Map<number, RowView>
  private readonly columns: number
  private readonly columnStep: number
  private readonly toX: number
  private readonly toY: number

  constructor(
    private readonly grid: MapGrid,
    private readonly view: WarpView,
    private readonly seams: Seams | null,
    private readonly index: number,
    private readonly block: Block,
    private readonly alone: boolean,
  ) {
    this.columnStep = grid.steps[index].columns
    this.columns = Math.ceil(block.columns / this.columnStep)
    this.terms = keptTerms.get(view) ?? new Map()
    keptTerms.set(view, this.terms)
    this.toX = view.width / view.camera.width
    this.toY = view.height / view.camera.height
  }

  done(): WarpPlan {
    keptNodes = this.nodes
    keptCells = this.cells
    return {
      nodes: this.nodes.subarray(0, this.nodeCount * nodeSize),
      cells: this.cells.subarray(0, this.count * cellSize),
      count: this.count,
    }
  }

  rowOfCells(firstRow: number, row: number, count: number): void {
    const { height } = this.grid
    const { columnStep } = this
    const upper = firstRow + row
    const lower = Math.min(upper + count, height - 1)
    const a = this.rowOfNodes(upper)
    const c = lower > upper ? this.rowOfNodes(lower) : a
    for (let i = 0; i < this.columns; i++) {
      const column = i * columnStep
      const across = Math.min(columnStep, this.block.columns - column)
      this.cell(column, row, across, count, a + i, c - a, lower > upper ? 1 / (lower - upper) : 0, firstRow)
    }
  }

  private rowOfNodes(row: number): number {
    if (this.last?.row === row) return this.last.first
    const first = this.nodeCount
    this.last = { row, first }
    const terms = this.termsOf(row)
    const { firstColumn, columns } = this.block
    for (let i = 0; i <= this.columns; i++) this.node(terms, firstColumn + Math.min(columns, i * this.columnStep))
    return first
  }

  private termsOf(row: number): RowView {
    const known = this.terms.get(row)
    if (known) return known
    const { surface, height } = this.grid
    const terms = rowView(surface, this.view.camera, surface.totalS * (1 - (row + 0.5) / height))
    if (this.terms.size >= mostTerms) this.terms.clear()
    this.terms.set(row, terms)
    return terms
  }

  /** Adds a node that may lie beyond what is visible; its margin is NaN where nothing can be said. */
  private node(terms: RowView, column: number): void {
    const { cos, sin } = this.grid
    const at = this.takeNode()
    const f = terms.facing
    const facing = f[0] + f[1] * cos[column] + f[2] * sin[column]
    const d = terms.squareDistance
    if (facing < 0 && facing * facing > farBeyond ** 2 * (d[0] + d[1] * cos[column] + d[2] * sin[column])) return
    if (terms.place.rho > terms.surface.radius && facing > 0 && hiddenByJournal(terms, cos[column], sin[column])) return
    if (!projectPoint(terms, cos[column], sin[column], point)) return
    this.write(at, terms, column)
  }

  private takeNode(): number {
    const at = this.nodeCount++ * nodeSize
    if (at + nodeSize > this.nodes.length) this.nodes = grown(this.nodes)
    this.nodes[at + 6] = Number.NaN
    return at
  }

  /** What `point` sees, weighed. */
  private write(at: number, terms: RowView, column: number): void {
    const { view, seams, nodes } = this
    const turn = (column + 0.5) / this.grid.width
    let weight = 1
    gains.fill(1)
    if (seams) {
      cellPlaceAt(seams, turn, terms.s / terms.surface.totalS, place)
      if (!this.alone) weight = valueAt(place, seams.shares[this.index])
    }
    if (weight > 0) {
      if (!this.alone) {
        colourIn(view, point, colour)
        weight *= weightIn(view, point, borderPxIn(view, point), colour)
      }
      if (view.exposure.even) gainsAt(view.exposure.even.field, turn * 2 * Math.PI, terms.s, gains)
      if (seams) for (let c = 0; c < 3; c++) gains[c] *= valueAt(place, seams.tones[this.index][c])
    }
    nodes[at] = weight * gains[0]
    nodes[at + 1] = weight * gains[1]
    nodes[at + 2] = weight * gains[2]
    nodes[at + 3] = weight
    nodes[at + 4] = point.u * this.toX
    nodes[at + 5] = point.v * this.toY
    nodes[at + 6] = visibleMargin(point)
  }

  private cell(
    column: number,
    row: number,
    across: number,
    count: number,
    a: number,
    down: number,
    perRow: number,
    firstRow: number,
  ): void {
    const n = this.nodes
    let [visible, unknown, weight] = [0, 0, 0]
    for (let k = 0; k < 4; k++) {
      const at = (a + (k & 1) + (k >> 1) * down) * nodeSize
      if (n[at + 6] > 0) visible++
      else if (Number.isNaN(n[at + 6])) unknown++
      weight += n[at + 3]
    }
    // where others own all four corners they show all between
    if (visible === 0 || (unknown === 0 && weight === 0)) return
    if (unknown > 0 || (this.view.outlines.polygons.length > 0 && this.outlinesNear(a, down))) {
      for (let y = 0; y < count; y++) this.exactRow(column, row + y, across, firstRow)
      return
    }
    this.put(column, row, across, count, a, 1, down, visible < 4, perRow, 1 / across)
  }

  private outlinesNear(a: number, down: number): boolean {
    const corners = [a, a + 1, a + down, a + down + 1].map((node) => [
      this.nodes[node * nodeSize + 4] / this.toX,
      this.nodes[node * nodeSize + 5] / this.toY,
    ])
    const reach = Math.max(...corners.map(([u, v]) => Math.hypot(u - corners[0][0], v - corners[0][1]))) + 1
    return corners.some(([u, v]) => distanceToOutlines(this.view.outlines, u, v, 2 * reach) <= reach)
  }

  /** Pixels worked out one by one; each with its neighbours, which tell how much of the picture it spans. */
  private exactRow(column: number, row: number, across: number, firstRow: number): void {
    const { cos, sin, height } = this.grid
    const terms = this.termsOf(firstRow + row)
    const below = firstRow + row + 1 < height ? this.termsOf(firstRow + row + 1) : terms
    const { firstColumn } = this.block
    for (let i = firstColumn + column; i < firstColumn + column + across; i++) {
      if (!viewPoint(terms, cos[i], sin[i], point) || point.cosIncidence <= leastCosine || point.cheekMargin < 0) continue
      const { u, v } = point
      if (u <= 0 || v <= 0 || u >= this.view.camera.width || v >= this.view.camera.height) continue
      if (this.view.outlines.polygons.length > 0 && distanceToOutlines(this.view.outlines, u, v, 1) === 0) continue
      const first = this.nodeCount
      const at = this.takeNode()
      this.write(at, terms, i)
      if (this.nodes[at + 3] === 0) {
        this.nodeCount = first
        continue
      }
      this.nodeBeside(at, terms, i + 1)
      this.nodeBeside(at, below, i)
      this.nodeBeside(at, below, i + 1)
      this.put(i - firstColumn, row, 1, 1, first, 1, 2, false, 1, 1)
    }
  }

  /** A node like another but for its place, where the neighbour can be seen. */
  private nodeBeside(at: number, terms: RowView, column: number): void {
    const other = this.takeNode()
    this.nodes.copyWithin(other, at, at + nodeSize)
    if (!viewPoint(terms, this.grid.cos[column], this.grid.sin[column], point)) return
    this.nodes[other + 4] = point.u * this.toX
    this.nodes[other + 5] = point.v * this.toY
  }

  private put(
    column: number,
    row: number,
    columns: number,
    rows: number,
    node: number,
    right: number,
    down: number,
    mixed: boolean,
    perRow: number,
    perColumn: number,
  ): void {
    const { nodes: n, view } = this
    const a = node * nodeSize
    const b = a + right * nodeSize
    const c = a + down * nodeSize
    const around = Math.hypot(n[b + 4] - n[a + 4], n[b + 5] - n[a + 5]) * perColumn
    const along = Math.hypot(n[c + 4] - n[a + 4], n[c + 5] - n[a + 5]) * perRow
    const finer = Math.min(around, along)
    const level = finer < 2 ? 0 : Math.min(view.depth, Math.floor(Math.log2(finer)))
    const at = this.count++ * cellSize
    if (at + cellSize > this.cells.length) {
      this.cells = grown(this.cells)
      this.asFloats = new Float32Array(this.cells.buffer)
    }
    const { cells, asFloats } = this
    cells[at] = column
    cells[at + 1] = row
    cells[at + 2] = columns
    cells[at + 3] = rows
    cells[at + 4] = node
    cells[at + 5] = right
    cells[at + 6] = down
    cells[at + 7] =
      mixed || this.nearEdge(a, level) || this.nearEdge(b, level) || this.nearEdge(c, level) || this.nearEdge(b + c - a, level) ? 1 : 0
    cells[at + 8] = level
    cells[at + 9] = taps(around / (1 << level))
    cells[at + 10] = taps(along / (1 << level))
    asFloats[at + 11] = perRow
    asFloats[at + 12] = perColumn
  }

  private nearEdge(at: number, level: number): boolean {
    const inside = 4 << level
    const u = this.nodes[at + 4]
    const v = this.nodes[at + 5]
    return u < inside || v < inside || u > this.view.width - inside || v > this.view.height - inside
  }
}

function taps(span: number): number {
  return Math.min(mostTaps, Math.max(1, Math.ceil(span - 0.25)))
}

function grown<T extends Float32Array | Int32Array>(array: T): T {
  const larger = new (array.constructor as new (length: number) => T)(array.length * 2)
  larger.set(array)
  return larger
}
