/** A close-up rolled out on a part of the map with a camera that is still being looked for. */
import { axialOfS, type Surface } from '../journal/surface'
import type { Camera } from './camera'
import { type GreyLevel, greyAt, levelFor } from './grey-picture'
import { type Outlines, withinOutlines } from './outline'
import { emptyPointView, rowView, viewPoint } from './row-view'
import type { GreyStrip } from './texture'

/** Columns and rows of the whole map, rear on top, and the part of it that is wanted; `firstColumn` may lie outside 0..columns. */
export type MapWindow = {
  columns: number
  rows: number
  firstColumn: number
  firstRow: number
  width: number
  height: number
}

export type CloseUpView = { levels: readonly GreyLevel[]; outlines: Outlines }

/** Steeper than this a view tells nothing of a place; beside a tangent line the light of the fillet begins. */
const leastCosine = Math.cos((70 * Math.PI) / 180)
const marginMm = 0.5
const glareGrey = 235

/** Grey levels of the window; seen are places on the cylinder, in the picture, outside its outlines, without glare. */
export function closeUpStrip(surface: Surface, { levels, outlines }: CloseUpView, camera: Camera, window: MapWindow): GreyStrip {
  const { columns, rows, width, height } = window
  const pxPerMm = columns / (2 * Math.PI * surface.radius)
  const grey = new Float32Array(width * height)
  const mask = new Uint8Array(width * height)
  const level = levelFor(levels, photoPxPerMm(surface, camera) / pxPerMm)
  const at = emptyPointView()
  for (let y = 0; y < height; y++) {
    const s = surface.totalS * (1 - (window.firstRow + y + 0.5) / rows)
    const axial = axialOfS(surface, s)
    if (axial < surface.frontTangentZ + marginMm || axial > surface.rearTangentZ - marginMm) continue
    const row = rowView(surface, camera, s)
    for (let x = 0; x < width; x++) {
      const theta = ((window.firstColumn + x + 0.5) / columns) * 2 * Math.PI
      if (!viewPoint(row, Math.cos(theta), Math.sin(theta), at)) continue
      if (at.cosIncidence < leastCosine || at.cheekMargin < 0) continue
      if (at.u < 0 || at.v < 0 || at.u > camera.width || at.v > camera.height) continue
      const value = greyAt(level, at.u, at.v)
      if (value >= glareGrey || withinOutlines(outlines, at.u, at.v)) continue
      grey[y * width + x] = value
      mask[y * width + x] = 1
    }
  }
  return { width, height, pxPerMm, grey, mask }
}

/** Px of the photograph to a mm of the journal where it faces the camera. */
export function photoPxPerMm(surface: Surface, { focalPx, rotation, translation }: Camera): number {
  const across = Math.hypot(
    rotation[0] * translation[0] + rotation[3] * translation[1] + rotation[6] * translation[2],
    rotation[1] * translation[0] + rotation[4] * translation[1] + rotation[7] * translation[2],
  )
  return focalPx / Math.max(1, across - surface.radius)
}
