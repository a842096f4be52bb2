/**
 * One photograph onto one stripe of the map. The exact projection is worked out at nodes every few columns and runs straight between them;
 * the step follows from an error bound. For a circle of the map seen from depth z, the picture's second derivative along a column step h is at
 * most about f rho / z (1 + rho / z)^2 h^2 radians squared, and a chord errs by an eighth of that. Where visibility changes between two
 * nodes every column is worked out. Where the photograph is finer than the map its halvings are read, several taps along the longer side.
 */
import type { Surface } from '../journal/surface'
import { type Camera, cameraPlace } from '../photo/camera'
import { distanceToOutlines, type Outlines, outlinesOf } from '../photo/outline'
import { emptyPointView, type PointView, type RowView, rowView, viewPoint } from '../photo/row-view'
import type { Pixel } from '../model/photo'
import { type Blend, glareShare, weightOf } from './blend'
import { type Exposure, shareAt } from './exposure'
import { gainsAt } from './gain-field'
import { colourAt } from './map-cells'
import { levelOf, type Picture, type Pyramid } from './picture'

export type WarpView = {
  camera: Camera
  outlines: Outlines
  /** How far from a border the weight is back to full, px of the photograph. */
  fadePx: number
  pyramid: Pyramid
  /** The halving whose pixels are about 2 mm, in which glare is looked for. */
  coarse: Picture
  exposure: Exposure
}

/** Columns where the projection is exact, with the cosine and sine of every column; the last node closes the turn. */
export type ColumnNodes = { step: number; cos: Float64Array; sin: Float64Array }

const plain: Exposure = { ultraviolet: false, even: null }
/** What an ultraviolet photograph weighs beside one in white light: nothing that shows. */
const ultravioletShare = 1e-14

/** Largest error of a sampling place, px of the photograph. */
const chordErrorPx = 0.1
const longestStep = 16
const mostTaps = 8

export function viewLimits(camera: Camera, ignore: readonly (readonly Pixel[])[], pyramid: Pyramid): WarpView {
  const pxPerMm = (camera.focalPx * pyramid.levels[0].width) / (camera.width * Math.max(1, camera.translation[2]))
  const coarse = levelOf(pyramid, Math.min(pyramid.depth, Math.max(0, Math.round(Math.log2(2 * pxPerMm)))))
  return { camera, outlines: outlinesOf(ignore), fadePx: 0.03 * Math.hypot(camera.width, camera.height), pyramid, coarse, exposure: plain }
}

export function columnNodes(surface: Surface, cameras: readonly Camera[], width: number): ColumnNodes {
  const rho = surface.radius + Math.max(surface.front.radius, surface.rear.radius)
  const turn = (2 * Math.PI) / width
  let step = longestStep
  for (const camera of cameras) {
    const [x, y] = cameraPlace(camera)
    const depth = Math.max(1e-3, Math.hypot(x, y) - rho)
    const bend = ((camera.focalPx * rho) / depth) * (1 + rho / depth) ** 2 * (1 + 3 * Math.abs(camera.k1))
    while (step > 1 && (bend * (turn * step) ** 2) / 8 > chordErrorPx) step >>= 1
  }
  const angleOf = (i: number) => ((i + 0.5) / width) * 2 * Math.PI
  return {
    step,
    cos: Float64Array.from({ length: width + 1 }, (_, i) => Math.cos(angleOf(i))),
    sin: Float64Array.from({ length: width + 1 }, (_, i) => Math.sin(angleOf(i))),
  }
}

/** Adds what a photograph shows of rows firstRow .. firstRow + rows - 1 to the blend. */
export function warpStripe(
  surface: Surface,
  view: WarpView,
  index: number,
  size: { width: number; height: number },
  nodes: ColumnNodes,
  firstRow: number,
  rows: number,
  blend: Blend,
): void {
  const perRow = surface.totalS / size.height
  for (let row = 0; row < rows; row++) {
    const s = surface.totalS - (firstRow + row + 0.5) * perRow
    const terms = rowView(surface, view.camera, s)
    const below = rowView(surface, view.camera, s - perRow / 2)
    const above = rowView(surface, view.camera, s + perRow / 2)
    warpRow({ view, index, terms, below, above, nodes, width: size.width, at: row * size.width, blend })
  }
}

type RowWork = {
  view: WarpView
  index: number
  terms: RowView
  below: RowView
  above: RowView
  nodes: ColumnNodes
  width: number
  at: number
  blend: Blend
}

const point = emptyPointView()
const beside = emptyPointView()

function warpRow(work: RowWork): void {
  const { nodes, width } = work
  let here = weigh(work, 0, emptyNode())
  let there = emptyNode()
  for (let first = 0; first < width; first += nodes.step) {
    const next = Math.min(first + nodes.step, width)
    weigh(work, next, there)
    if (here.weight > 0 && there.weight > 0 && borderIsFar(work.view, here, there)) sampleRun(work, first, next - first, here, there)
    else if (here.weight > 0 || there.weight > 0) for (let i = first; i < next; i++) sampleAlone(work, i)
    ;[here, there] = [there, here]
  }
}

/** Where a column of the row lies in the photograph, its weight there and the gains of its channels. */
type Node = { u: number; v: number; weight: number; gains: Float64Array }

function emptyNode(): Node {
  return { u: 0, v: 0, weight: 0, gains: new Float64Array(3).fill(1) }
}

function weigh(work: RowWork, column: number, out: Node): Node {
  const { view, nodes } = work
  out.weight = 0
  if (!viewPoint(work.terms, nodes.cos[column], nodes.sin[column], point)) return out
  const weight = weightOf(point, view.camera.focalPx, borderPx(view, point), view.fadePx)
  if (weight <= 0) return out
  out.u = point.u
  out.v = point.v
  out.weight = weight * glareShare(darkestAround(view, point)) * (view.exposure.ultraviolet ? ultravioletShare : 1)
  if (view.exposure.even) {
    const turn = (column + 0.5) / work.width
    const { field, keeps } = view.exposure.even
    gainsAt(field, turn * 2 * Math.PI, work.terms.s, out.gains)
    out.weight *= shareAt(keeps, turn, work.terms.s / work.terms.surface.totalS)
  }
  return out
}

/** The darkest channel of the picture's colour around a point, averaged over some mm so that glare fades and a line within it does not count. */
function darkestAround({ coarse, camera }: WarpView, { u, v }: PointView): number {
  colourAt(coarse, (u * coarse.width) / camera.width, (v * coarse.height) / camera.height, colour)
  return Math.min(colour[0], colour[1], colour[2])
}

const colour = new Float64Array(3)

function borderPx(view: WarpView, { u, v }: PointView): number {
  const edge = Math.min(u, v, view.camera.width - u, view.camera.height - v, view.fadePx)
  return edge <= 0 || view.outlines.polygons.length === 0 ? edge : distanceToOutlines(view.outlines, u, v, edge)
}

/** Whether no outline left out can lie between two nodes: both stand off it by more than they stand apart. */
function borderIsFar(view: WarpView, { u: u0, v: v0 }: Node, { u: u1, v: v1 }: Node): boolean {
  if (view.outlines.polygons.length === 0) return true
  const apart = Math.hypot(u1 - u0, v1 - v0)
  return distanceToOutlines(view.outlines, u0, v0, 2 * apart) > apart && distanceToOutlines(view.outlines, u1, v1, 2 * apart) > apart
}

const alone = emptyNode()
const other = emptyNode()

function sampleAlone(work: RowWork, column: number): void {
  if (weigh(work, column, alone).weight <= 0) return
  other.weight = alone.weight
  other.gains.set(alone.gains)
  const seen = viewPoint(work.terms, work.nodes.cos[column + 1], work.nodes.sin[column + 1], beside)
  other.u = seen ? beside.u : alone.u
  other.v = seen ? beside.v : alone.v
  sampleRun(work, column, 1, alone, other)
}

/** Samples `count` columns from the node `here` on, straight towards the node `there`. */
function sampleRun(work: RowWork, first: number, count: number, here: Node, there: Node): void {
  const { u, v, weight } = here
  const du = (there.u - u) / count
  const dv = (there.v - v) / count
  const dWeight = (there.weight - weight) / count
  const { view, blend, nodes } = work
  const { pyramid, camera } = view
  const full = pyramid.levels[0]
  const toX = full.width / camera.width
  const toY = full.height / camera.height
  const middle = Math.min(first + (count >> 1), work.width)
  let su = 0
  let sv = 0
  if (viewPoint(work.above, nodes.cos[middle], nodes.sin[middle], beside)) {
    ;[su, sv] = [beside.u, beside.v]
    if (viewPoint(work.below, nodes.cos[middle], nodes.sin[middle], beside)) [su, sv] = [su - beside.u, sv - beside.v]
    else [su, sv] = [0, 0]
  }
  const around = Math.hypot(du * toX, dv * toY)
  const along = Math.hypot(su * toX, sv * toY)
  const finer = Math.min(around, along)
  const level = finer < 2 ? 0 : Math.min(pyramid.depth, Math.floor(Math.log2(finer)))
  const shrink = 1 / (1 << level)
  const tapsAround = Math.min(mostTaps, Math.max(1, Math.ceil(around * shrink - 0.25)))
  const tapsAlong = Math.min(mostTaps, Math.max(1, Math.ceil(along * shrink - 0.25)))
  const { data, channels, width, height } = levelOf(pyramid, level)
  const kx = toX * shrink
  const ky = toY * shrink
  const share = 1 / (tapsAround * tapsAlong)
  const { sums, strongest, sources } = blend
  for (let i = 0; i < count; i++) {
    const pu = u + i * du
    const pv = v + i * dv
    let red = 0
    let green = 0
    let blue = 0
    for (let a = 0; a < tapsAround; a++) {
      const offAround = (a + 0.5) / tapsAround - 0.5
      for (let b = 0; b < tapsAlong; b++) {
        const offAlong = (b + 0.5) / tapsAlong - 0.5
        let x = (pu + offAround * du + offAlong * su) * kx - 0.5
        let y = (pv + offAround * dv + offAlong * sv) * ky - 0.5
        x = Math.min(width - 1, Math.max(0, x))
        y = Math.min(height - 1, Math.max(0, y))
        const left = x | 0
        const top = y | 0
        const fx = x - left
        const fy = y - top
        const p = (top * width + left) * channels
        const q = left + 1 < width ? p + channels : p
        const below = top + 1 < height ? width * channels : 0
        const tl = (1 - fx) * (1 - fy)
        const tr = fx * (1 - fy)
        const bl = (1 - fx) * fy
        const br = fx * fy
        red += data[p] * tl + data[q] * tr + data[p + below] * bl + data[q + below] * br
        green += data[p + 1] * tl + data[q + 1] * tr + data[p + below + 1] * bl + data[q + below + 1] * br
        blue += data[p + 2] * tl + data[q + 2] * tr + data[p + below + 2] * bl + data[q + below + 2] * br
      }
    }
    const w = weight + i * dWeight
    const at = 4 * (work.at + first + i)
    const k = w * share
    const t = i / count
    sums[at] += red * k * (here.gains[0] + t * (there.gains[0] - here.gains[0]))
    sums[at + 1] += green * k * (here.gains[1] + t * (there.gains[1] - here.gains[1]))
    sums[at + 2] += blue * k * (here.gains[2] + t * (there.gains[2] - here.gains[2]))
    sums[at + 3] += w
    if (strongest && sources && w > strongest[at >> 2]) {
      strongest[at >> 2] = w
      sources[at >> 2] = work.index
    }
  }
}
