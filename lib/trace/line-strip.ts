/**
 * One photograph laid on the grid for looking at thin lines: brightness relative to what lies within about 1 mm, so that highlights, shade and
 * exposure fall away; and less what runs straight around the journal for 8 mm, which is the lay of grinding. Under ultraviolet the particles'
 * green less the lint's blue takes the place of brightness, and bright lines that of dark ones.
 */
import type { Surface } from '../journal/surface'
import { type Camera, cameraPlace } from '../photo/camera'
import { outlinesOf, withinOutlines } from '../photo/outline'
import { emptyPointView, rowView, viewPoint } from '../photo/row-view'
import { halved, type Picture } from '../rollout/picture'
import { type LineGrid, linePlacesPerMm } from './line-grid'
import type { LineView } from './line-view'

export type Lighting = 'white' | 'ultraviolet'
export type LineStrip = {
  /** First column of the strip on the grid; columns may run past the turn. */
  first: number
  columns: number
  rows: number
  /** Darkness of a place beside its surroundings (0.2: a fifth darker); under ultraviolet its glow in grey levels / 100. */
  lines: Float32Array
  /** The same with the lay left in. */
  plain: Float32Array
  /** 0: not seen; 1: seen. */
  seen: Uint8Array
  /** Cosine of the angle between the view and the cylinder's normal, by column, halfway along; 0 where it faces away. */
  facing: Float32Array
  /** How surely it lies where its fit puts it. */
  sigmaMm: LineView['sigmaMm']
}

/** Steeper than this a photograph is not looked at: dark lines need more of a surface than glowing ones. */
const leastCosine: Record<Lighting, number> = { white: Math.cos((74 * Math.PI) / 180), ultraviolet: Math.cos((81 * Math.PI) / 180) }
/** Webs stand further out than the fillet's edge by about this much and hide more of the journal than its sizes tell, mm. */
const webBeyondMm = 6
const glare = 251
const aroundMm = 8
const localMm = 0.9

/** Ultraviolet where the journal is dark and blue outweighs red. `picture` upright. */
export function lightingOf(surface: Surface, view: LineView, picture: Picture): Lighting {
  let [red, blue, count] = [0, 0, 0]
  const point = emptyPointView()
  const [scaleU, scaleV] = [picture.width / view.camera.width, picture.height / view.camera.height]
  for (let k = 1; k < 16; k++) {
    const row = rowView(surface, view.camera, (surface.totalS * k) / 16)
    for (let i = 0; i < 180; i++) {
      const theta = (i * Math.PI) / 90
      if (!viewPoint(row, Math.cos(theta), Math.sin(theta), point) || point.cosIncidence < 0.4) continue
      const [u, v] = [Math.floor(point.u * scaleU), Math.floor(point.v * scaleV)]
      if (u < 0 || v < 0 || u >= picture.width || v >= picture.height) continue
      const at = (v * picture.width + u) * picture.channels
      red += picture.data[at]
      blue += picture.data[at + 2]
      count++
    }
  }
  return count > 0 && blue > 1.3 * red && red < 90 * count ? 'ultraviolet' : 'white'
}

/** Null where the photograph shows nothing of the journal. */
export function lineStrip(surface: Surface, grid: LineGrid, view: LineView, picture: Picture, lighting: Lighting): LineStrip | null {
  const range = columnsSeen(surface, grid, view.camera)
  if (!range) return null
  const { first, columns } = range
  const { rows } = grid
  const value = new Float32Array(columns * rows)
  const seen = new Uint8Array(columns * rows)
  sample(surface, grid, view, picture, lighting, first, columns, value, seen)
  const plain = lighting === 'white' ? relativeDarkness(value, seen, columns, rows) : relativeGlow(value, seen, columns, rows)
  const lines = lighting === 'white' ? lessLay(plain, seen, columns, rows) : plain
  return { first, columns, rows, lines, plain, seen, facing: facingOf(surface, grid, view.camera, first, columns), sigmaMm: view.sigmaMm }
}

function columnsSeen(surface: Surface, grid: LineGrid, camera: Camera): { first: number; columns: number } | null {
  const place = cameraPlace(camera)
  const away = Math.hypot(place[0], place[1])
  if (away <= surface.radius) return null
  // the widest a place of the cylinder can be from the camera's own angle and still be seen
  const half = Math.acos(surface.radius / away)
  const middle = Math.atan2(place[1], place[0])
  const first = Math.floor((middle - half) / grid.stepTheta)
  return { first, columns: Math.min(grid.columns, Math.ceil((2 * half) / grid.stepTheta)) }
}

function facingOf(surface: Surface, grid: LineGrid, camera: Camera, first: number, columns: number): Float32Array {
  const row = rowView(surface, camera, surface.totalS / 2)
  const point = emptyPointView()
  return Float32Array.from({ length: columns }, (_, i) => {
    const theta = (first + i + 0.5) * grid.stepTheta
    return viewPoint(row, Math.cos(theta), Math.sin(theta), point) ? point.cosIncidence : 0
  })
}

function sample(
  surface: Surface,
  grid: LineGrid,
  { camera, ignore }: LineView,
  picture: Picture,
  lighting: Lighting,
  first: number,
  columns: number,
  value: Float32Array,
  seen: Uint8Array,
): void {
  const pxPerMm = camera.focalPx / Math.max(1, camera.translation[2] - surface.radius)
  let level = picture
  for (let k = Math.floor(Math.log2((pxPerMm * (picture.width / camera.width)) / linePlacesPerMm)); k > 0; k--) level = halved(level)
  const grey = linePlane(level, lighting)
  const scaleU = level.width / camera.width
  const scaleV = level.height / camera.height
  const outlines = outlinesOf(ignore)
  const cosines = Float64Array.from({ length: columns }, (_, i) => Math.cos((first + i + 0.5) * grid.stepTheta))
  const sines = Float64Array.from({ length: columns }, (_, i) => Math.sin((first + i + 0.5) * grid.stepTheta))
  const point = emptyPointView()
  for (let row = 0; row < grid.rows; row++) {
    const view = rowView(surface, camera, (row + 0.5) * grid.stepS)
    for (let i = 0; i < columns; i++) {
      if (!viewPoint(view, cosines[i], sines[i], point)) continue
      if (point.cosIncidence < leastCosine[lighting] || point.cheekMargin < webBeyondMm) continue
      const x = point.u * scaleU - 0.5
      const y = point.v * scaleV - 0.5
      const x0 = Math.floor(x)
      const y0 = Math.floor(y)
      if (x0 < 1 || y0 < 1 || x0 + 2 >= level.width || y0 + 2 >= level.height) continue
      if (outlines.polygons.length > 0 && withinOutlines(outlines, point.u, point.v)) continue
      const at = y0 * level.width + x0
      const tx = x - x0
      const ty = y - y0
      const top = grey[at] + tx * (grey[at + 1] - grey[at])
      const low = grey[at + level.width] + tx * (grey[at + level.width + 1] - grey[at + level.width])
      const g = top + ty * (low - top)
      const to = row * columns + i
      value[to] = g
      if (lighting === 'ultraviolet' || (g > 3 && g < glare)) seen[to] = 1
    }
  }
}

function linePlane({ width, height, channels, data }: Picture, lighting: Lighting): Float32Array {
  const plane = new Float32Array(width * height)
  const [r, g, b] = lighting === 'white' ? [0.3, 0.55, 0.15] : [0.25, 1, -0.75]
  for (let i = 0, p = 0; i < plane.length; i++, p += channels) plane[i] = r * data[p] + g * data[p + 1] + b * data[p + 2]
  return plane
}

function relativeDarkness(value: Float32Array, seen: Uint8Array, columns: number, rows: number): Float32Array {
  const half = Math.round((localMm * linePlacesPerMm) / 2)
  const mean = maskedMean(value, seen, columns, rows, half, half)
  const out = new Float32Array(value.length)
  for (let i = 0; i < out.length; i++) if (seen[i]) out[i] = Math.max(-0.6, Math.min(0.8, 1 - (value[i] + 4) / (mean[i] + 4)))
  return out
}

function relativeGlow(value: Float32Array, seen: Uint8Array, columns: number, rows: number): Float32Array {
  const half = Math.round((localMm * linePlacesPerMm) / 2)
  const mean = maskedMean(value, seen, columns, rows, half, half)
  const out = new Float32Array(value.length)
  for (let i = 0; i < out.length; i++) if (seen[i]) out[i] = (value[i] - mean[i]) / 100
  return out
}

/** Takes off the mean of 8 mm around, in which a dark line counts for little. */
function lessLay(lines: Float32Array, seen: Uint8Array, columns: number, rows: number): Float32Array {
  const clipped = lines.map((value) => Math.max(-0.12, Math.min(0.12, value)))
  const half = Math.round((aroundMm * linePlacesPerMm) / 2)
  const mean = maskedMean(clipped, seen, columns, rows, half, 0)
  const out = new Float32Array(lines.length)
  for (let i = 0; i < out.length; i++) if (seen[i]) out[i] = lines[i] - mean[i]
  return out
}

/** Mean over (2 halfX + 1) x (2 halfY + 1) places, of those seen; twice over where it is square, so that it is near to a bell. */
export function maskedMean(
  value: Float32Array,
  seen: Uint8Array,
  columns: number,
  rows: number,
  halfX: number,
  halfY: number,
): Float32Array {
  let sum = new Float32Array(value.length)
  let weight = new Float32Array(value.length)
  for (let i = 0; i < value.length; i++) {
    sum[i] = seen[i] ? value[i] : 0
    weight[i] = seen[i]
  }
  for (let pass = 0; pass < (halfY > 0 ? 2 : 1); pass++) {
    if (halfX > 0) {
      sum = runningSum(sum, rows, columns, columns, 1, halfX)
      weight = runningSum(weight, rows, columns, columns, 1, halfX)
    }
    if (halfY > 0) {
      sum = runningSum(sum, columns, rows, 1, columns, halfY)
      weight = runningSum(weight, columns, rows, 1, columns, halfY)
    }
  }
  for (let i = 0; i < sum.length; i++) sum[i] = weight[i] > 1e-4 ? sum[i] / weight[i] : 0
  return sum
}

function runningSum(from: Float32Array, lines: number, count: number, lineStep: number, step: number, half: number) {
  const to = new Float32Array(from.length)
  const share = 1 / (2 * half + 1)
  for (let line = 0; line < lines; line++) {
    const start = line * lineStep
    let sum = 0
    for (let k = 0; k < Math.min(half, count); k++) sum += from[start + k * step]
    for (let k = 0; k < count; k++) {
      if (k + half < count) sum += from[start + (k + half) * step]
      if (k - half - 1 >= 0) sum -= from[start + (k - half - 1) * step]
      to[start + k * step] = sum * share
    }
  }
  return to
}
