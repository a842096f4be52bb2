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
import { levelOf, type Picture, type Pyramid } from './picture'

export type WarpView = {
  camera: Camera
  outlines: Outlines
  /** How far from a border the weight is back to full, px of the photograph. */
  fadePx: number
  pyramid: Pyramid
  /** The halving whose pixels are about 2 mm, in which glare is looked for. */
  coarse: Picture
}

/** Columns where the projection is exact, with the cosine and sine of every column; the last node closes the turn. */
export type ColumnNodes = { step: number; cos: Float64Array; sin: Float64Array }

/** Largest error of a sampling place, px of the photograph. */
const chordErrorPx = 0.1
const longestStep = 16
const mostTaps = 8

export function viewLimits(camera: Camera, ignore: readonly (readonly Pixel[])[], pyramid: Pyramid): WarpView {
  const pxPerMm = (camera.focalPx * pyramid.levels[0].width) / (camera.width * Math.max(1, camera.translation[2]))
  const coarse = levelOf(pyramid, Math.min(pyramid.depth, Math.max(0, Math.round(Math.log2(2 * pxPerMm)))))
  return { camera, outlines: outlinesOf(ignore), fadePx: 0.03 * Math.hypot(camera.width, camera.height), pyramid, coarse }
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
  let [u0, v0, w0] = [0, 0, weigh(work, 0)]
  if (w0 > 0) [u0, v0] = [point.u, point.v]
  for (let first = 0; first < width; first += nodes.step) {
    const next = Math.min(first + nodes.step, width)
    const w1 = weigh(work, next)
    const [u1, v1] = w1 > 0 ? [point.u, point.v] : [0, 0]
    const count = next - first
    if (w0 > 0 && w1 > 0 && borderIsFar(work.view, u0, v0, u1, v1)) {
      sampleRun(work, first, count, u0, v0, w0, (u1 - u0) / count, (v1 - v0) / count, (w1 - w0) / count)
    } else if (w0 > 0 || w1 > 0) {
      for (let i = first; i < next; i++) sampleAlone(work, i)
    }
    ;[u0, v0, w0] = [u1, v1, w1]
  }
}

/** Weight at a column; `point` then holds the view. */
function weigh(work: RowWork, column: number): number {
  const { view, nodes } = work
  if (!viewPoint(work.terms, nodes.cos[column], nodes.sin[column], point)) return 0
  const weight = weightOf(point, view.camera.focalPx, borderPx(view, point), view.fadePx)
  return weight > 0 ? weight * glareShare(darkestAround(view, point)) : 0
}

/** The darkest channel of the picture's colour around a point, averaged over some mm so that glare fades and a line within it does not count. */
function darkestAround({ coarse, camera }: WarpView, { u, v }: PointView): number {
  const { data, channels, width, height } = coarse
  const x = Math.min(width - 1.001, Math.max(0, (u * width) / camera.width - 0.5))
  const y = Math.min(height - 1.001, Math.max(0, (v * height) / camera.height - 0.5))
  const left = x | 0
  const top = y | 0
  const fx = x - left
  const fy = y - top
  const p = (top * width + left) * channels
  const q = p + width * channels
  let darkest = 255
  for (let c = 0; c < 3; c++) {
    const above = data[p + c] * (1 - fx) + data[p + channels + c] * fx
    const below = data[q + c] * (1 - fx) + data[q + channels + c] * fx
    darkest = Math.min(darkest, above * (1 - fy) + below * fy)
  }
  return darkest
}

function borderPx(view: WarpView, { u, v }: PointView): number {
  const edge = Math.min(u, v, view.camera.width - u, view.camera.height - v, view.fadePx)
  return edge <= 0 || view.outlines.polygons.length === 0 ? edge : distanceToOutlines(view.outlines, u, v, edge)
}

/** Whether no outline left out can lie between two nodes: both stand off it by more than they stand apart. */
function borderIsFar(view: WarpView, u0: number, v0: number, u1: number, v1: number): boolean {
  if (view.outlines.polygons.length === 0) return true
  const apart = Math.hypot(u1 - u0, v1 - v0)
  return distanceToOutlines(view.outlines, u0, v0, 2 * apart) > apart && distanceToOutlines(view.outlines, u1, v1, 2 * apart) > apart
}

function sampleAlone(work: RowWork, column: number): void {
  const weight = weigh(work, column)
  if (weight <= 0) return
  const [u, v] = [point.u, point.v]
  const other = column + 1 <= work.width && viewPoint(work.terms, work.nodes.cos[column + 1], work.nodes.sin[column + 1], beside)
  sampleRun(work, column, 1, u, v, weight, other ? beside.u - u : 0, other ? beside.v - v : 0, 0)
}

/** Samples `count` columns from one whose place and weight are given, with their change a column. */
function sampleRun(
  work: RowWork,
  first: number,
  count: number,
  u: number,
  v: number,
  weight: number,
  du: number,
  dv: number,
  dWeight: number,
): void {
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
    sums[at] += red * k
    sums[at + 1] += green * k
    sums[at + 2] += blue * k
    sums[at + 3] += w
    if (strongest && sources && w > strongest[at >> 2]) {
      strongest[at >> 2] = w
      sources[at >> 2] = work.index
    }
  }
}
