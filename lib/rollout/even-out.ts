/**
 * The gain fields that make photographs agree where they show the same cells of the map. Each cell's own brightness is eliminated (what is left
 * are differences from the weighted mean of those who show it), fields are held smooth and small, and cells about which photographs disagree
 * in other ways (a moving highlight, a finger) lose their say by iteratively reweighted least squares with Cauchy's weights. Conjugate gradients
 * on the normal equations (Hestenes and Stiefel 1952), preconditioned by their diagonal. The smallest field that serves is taken, so the mean
 * gain is 1, and photographs that agree are left as they are. Highlights move over the metal from photograph to photograph: one that is
 * brighter in a cell than the others after all that loses its say sooner than one that is darker, and its weight in the blend there.
 */
import { alikeShares, leastAround } from './alike-cells'
import { basisAt, knotCount, offsetKnots, sKnots } from './gain-field'
import type { CellGrid, CellsShown } from './map-cells'

export type FieldCoefficients = [Float64Array, Float64Array, Float64Array]

export type EvenedOut = {
  coefficients: FieldCoefficients
  /** For each cell the share of its weight that a photograph keeps, less than 1 where it is brighter than the others, or shows something else. */
  keeps: Float32Array
}

/** The field of a photograph: its own and, from the last block, the shared one. */
function fieldOf(fields: Float64Array, view: number): Float64Array {
  const shared = fields.length - knotCount
  return fields.slice(view * knotCount, (view + 1) * knotCount).map((own, k) => own + fields[shared + k])
}

/** How far fields may go, standard deviations in natural logarithms: of a coefficient from its neighbours' line, from its neighbour; of the mean. */
type Stiffness = { bend: number; slope: number; gain: number }
type Stiffnesses = { shared: Stiffness; own: Stiffness }

/** Of a cell between photographs. */
const cellSigma = 0.04
/**
 * A field is the sum of one that all photographs share, since lamp and camera mostly stand still while the shaft turns, and one of its own. The
 * shared one may slope more freely, and gains are held tighter: were it not so, lighting from one side would come out as photographs that grow brighter all along an open row.
 */
const brightness: Stiffnesses = { shared: { bend: 0.03, slope: 0.1, gain: 0.02 }, own: { bend: 0.02, slope: 0.02, gain: 0.05 } }
/** Of red and blue beside green. */
const tint: Stiffnesses = { shared: { bend: 0.01, slope: 0.03, gain: 0.02 }, own: { bend: 0.01, slope: 0.01, gain: 0.05 } }
const mostSteps = 300
/** Squared residual, as a share of what it is at the start from nothing, at which a solve ends: on the way, and at the end (gains to 0.3 %). */
const roughly = 1e-6
const finely = 1e-8
/** Disagreement that halves a cell's say: brighter than the others, from round to round narrower lest a wrong start lock in; darker than they; brighter, in the blend. */
const brighterScales = [0.4, 0.25, 0.15, 0.1, 0.07, 0.05]
const darkerScale = 0.25
const brighterInBlend = 0.05
const leastKept = 1e-3

export function evenedOut(shown: readonly CellsShown[], grid: CellGrid, totalS: number): EvenedOut[] {
  const shared = sharedCells(shown, grid.columns * grid.rows, totalS)
  const [red, green, blue] = shared.logs.map(() => new Float64Array((shown.length + 1) * knotCount))
  for (const brighterScale of brighterScales) {
    solve(shared, shared.logs[1], brightness, green, roughly)
    reweigh(shared, green, brighterScale)
  }
  solve(shared, shared.logs[1], brightness, green, finely)
  for (const [c, field] of [red, blue].entries()) {
    const beside = shared.logs[2 * c].map((log, i) => log - shared.logs[1][i])
    solve(shared, beside, tint, field, finely)
    for (let i = 0; i < field.length; i++) field[i] += green[i]
  }
  const keeps = keepsOf(shared, [red, green, blue], shown.length, grid)
  return keeps.map((one, view) => ({
    coefficients: [red, green, blue].map((fields) => fieldOf(fields, view)) as FieldCoefficients,
    keeps: one,
  }))
}

/** For each photograph and cell: first who shows something else than the others loses its say, then who is brighter than the rest. */
function keepsOf(shared: SharedCells, fields: readonly Float64Array[], viewCount: number, grid: CellGrid): Float32Array[] {
  const logs = fields.map((field, c) => {
    const values = new Float64Array(shared.cells.length)
    fieldValues(shared, field, values)
    return values.map((value, i) => value + shared.logs[c][i])
  })
  const alike = alikeShares({ ...shared, logs }, viewCount, grid).map((one) => leastAround(grid, one))
  for (let i = 0; i < shared.weights.length; i++) shared.weights[i] *= alike[shared.views[i]][shared.cells[i]] ** 2
  const darker = alike.map((one) => new Float32Array(one.length).fill(1))
  disagreements(shared, fields[1]).forEach((value, i) => {
    const brighter = Math.max(0, value) / brighterInBlend
    darker[shared.views[i]][shared.cells[i]] = Math.max(leastKept, 1 / (1 + brighter ** 2) ** 2)
  })
  return darker.map((one, view) => leastAround(grid, one).map((share, cell) => share * alike[view][cell]))
}

/** What at least two photographs show, one entry for each photograph and cell. */
type SharedCells = {
  views: Int32Array
  cells: Int32Array
  /** Nine to an entry: coefficients of its photograph that bear on it, as places among all, and their shares. */
  knots: Int32Array
  shares: Float64Array
  logs: Float64Array[]
  weights: Float64Array
  sums: Float64Array
  cellWeights: Float64Array
}

function sharedCells(shown: readonly CellsShown[], cellCount: number, totalS: number): SharedCells {
  const times = new Uint8Array(cellCount)
  for (const { cells } of shown) for (const cell of cells) times[cell]++
  const entries = shown.flatMap((one, view) => one.cells.flatMap((cell, i) => (times[cell] > 1 ? [{ one, view, cell, i }] : [])))
  const bases = entries.map(({ one, i }) => basisAt(one.offsets[i], one.s[i], totalS))
  return {
    views: Int32Array.from(entries, ({ view }) => view),
    cells: Int32Array.from(entries, ({ cell }) => cell),
    knots: Int32Array.from(bases.flatMap(({ knots }, i) => Array.from(knots, (knot) => entries[i].view * knotCount + knot))),
    shares: Float64Array.from(bases.flatMap(({ shares }) => [...shares])),
    logs: [0, 1, 2].map((c) => Float64Array.from(entries, ({ one, i }) => one.logs[c][i])),
    weights: new Float64Array(entries.length).fill(1),
    sums: new Float64Array(cellCount),
    cellWeights: new Float64Array(cellCount),
  }
}

/** Replaces values by their differences from the weighted mean of their cell. */
function lessCellMean({ cells, weights, sums, cellWeights }: SharedCells, values: Float64Array): void {
  sums.fill(0)
  cellWeights.fill(0)
  for (let i = 0; i < cells.length; i++) {
    sums[cells[i]] += weights[i] * values[i]
    cellWeights[cells[i]] += weights[i]
  }
  for (let i = 0; i < cells.length; i++) values[i] -= sums[cells[i]] / cellWeights[cells[i]]
}

function fieldValues({ knots, shares }: SharedCells, x: Float64Array, out: Float64Array): void {
  const common = x.length - knotCount
  const fields = x.slice(0, common)
  for (let i = 0; i < common; i++) fields[i] += x[common + (i % knotCount)]
  for (let i = 0, at = 0; i < out.length; i++) {
    let sum = 0
    for (const end = at + 9; at < end; at++) sum += shares[at] * fields[knots[at]]
    out[i] = sum
  }
}

/** Adds the transposed fields of weighted values, over the variance of a cell. */
function addTransposed({ knots, shares, weights }: SharedCells, values: Float64Array, sign: number, out: Float64Array): void {
  const common = out.length - knotCount
  const fields = new Float64Array(common)
  for (let i = 0, at = 0; i < values.length; i++) {
    const value = (sign * weights[i] * values[i]) / cellSigma ** 2
    for (const end = at + 9; at < end; at++) fields[knots[at]] += shares[at] * value
  }
  for (let i = 0; i < common; i++) {
    out[i] += fields[i]
    out[common + (i % knotCount)] += fields[i]
  }
}

/** The normal equations' product with x: data, small bends, small gains. */
function normalProduct(shared: SharedCells, x: Float64Array, stiffness: Stiffnesses, values: Float64Array, out: Float64Array): void {
  for (let from = 0; from < x.length; from += knotCount) {
    const { gain } = stiffnessAt(stiffness, from, x.length)
    let mean = 0
    for (let i = from; i < from + knotCount; i++) mean += x[i] / knotCount
    out.fill(mean / knotCount / gain ** 2, from, from + knotCount)
  }
  fieldValues(shared, x, values)
  lessCellMean(shared, values)
  addTransposed(shared, values, 1, out)
  for (let from = 0; from < x.length; from += knotCount) {
    const { bend, slope } = stiffnessAt(stiffness, from, x.length)
    for (let a = 0; a < offsetKnots; a++) {
      for (let b = 0; b < sKnots; b++) {
        const at = from + a * sKnots + b
        if (b > 0) addSlope(x, out, at, 1, slope)
        if (a > 0) addSlope(x, out, at, sKnots, slope)
        if (b > 0 && b + 1 < sKnots) addBend(x, out, at, 1, bend)
        if (a > 0 && a + 1 < offsetKnots) addBend(x, out, at, sKnots, bend)
      }
    }
  }
}

function stiffnessAt({ shared, own }: Stiffnesses, from: number, length: number): Stiffness {
  return from + knotCount === length ? shared : own
}

function addSlope(x: Float64Array, out: Float64Array, at: number, step: number, sigma: number): void {
  const slope = (x[at] - x[at - step]) / sigma ** 2
  out[at] += slope
  out[at - step] -= slope
}

function addBend(x: Float64Array, out: Float64Array, at: number, step: number, sigma: number): void {
  const bend = (x[at - step] - 2 * x[at] + x[at + step]) / sigma ** 2
  out[at - step] += bend
  out[at] -= 2 * bend
  out[at + step] += bend
}

function diagonalOf({ knots, shares, weights }: SharedCells, stiffness: Stiffnesses, length: number): Float64Array {
  const diagonal = new Float64Array(length)
  for (let from = 0; from < length; from += knotCount) {
    const { bend, slope } = stiffnessAt(stiffness, from, length)
    diagonal.fill(4 / slope ** 2 + 12 / bend ** 2, from, from + knotCount)
  }
  for (let at = 0; at < knots.length; at++) {
    const share = (weights[Math.floor(at / 9)] * shares[at] ** 2) / cellSigma ** 2
    diagonal[knots[at]] += share
    diagonal[length - knotCount + (knots[at] % knotCount)] += share
  }
  return diagonal
}

/** Goes on from what `x` holds. */
function solve(shared: SharedCells, logs: Float64Array, stiffness: Stiffnesses, x: Float64Array, enoughShare: number): void {
  const values = Float64Array.from(logs)
  const residual = new Float64Array(x.length)
  const product = new Float64Array(x.length)
  const diagonal = diagonalOf(shared, stiffness, x.length)
  lessCellMean(shared, values)
  addTransposed(shared, values, -1, residual)
  const enough = enoughShare * residual.reduce((sum, r, i) => sum + r ** 2 / diagonal[i], 0)
  normalProduct(shared, x, stiffness, values, product)
  for (let i = 0; i < x.length; i++) residual[i] -= product[i]
  const search = residual.map((r, i) => r / diagonal[i])
  let rho = dot(residual, search)
  for (let step = 0; step < mostSteps && rho > enough && rho > 1e-12; step++) {
    normalProduct(shared, search, stiffness, values, product)
    const alpha = rho / dot(search, product)
    for (let i = 0; i < x.length; i++) {
      x[i] += alpha * search[i]
      residual[i] -= alpha * product[i]
    }
    const before = rho
    rho = 0
    for (let i = 0; i < x.length; i++) rho += residual[i] ** 2 / diagonal[i]
    for (let i = 0; i < x.length; i++) search[i] = residual[i] / diagonal[i] + (rho / before) * search[i]
  }
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i]
  return sum
}

function reweigh(shared: SharedCells, x: Float64Array, brighterScale: number): void {
  disagreements(shared, x).forEach((value, i) => {
    shared.weights[i] = 1 / (1 + (value / (value > 0 ? brighterScale : darkerScale)) ** 2)
  })
}

/** How much brighter (green) each photograph is in a cell than those who show it are on the whole, in natural logarithms. */
function disagreements(shared: SharedCells, x: Float64Array): Float64Array {
  const values = new Float64Array(shared.cells.length)
  fieldValues(shared, x, values)
  for (let i = 0; i < values.length; i++) values[i] += shared.logs[1][i]
  lessCellMean(shared, values)
  return values
}
