/**
 * How much of a journal was photographed well: 6 px per mm (focal length over depth) or more, less than 65 degrees from the surface's normal,
 * within the picture, outside every outline left out, not hidden by a cheek. The surface is sampled at the middles of a grid of 1 degree by
 * about 0.5 mm (8 rows a fillet); a share's error is that of its edges, each off by at most half a cell: under 0.5 % of the surface.
 */
import { sOfAxial, radiusAt, type Surface } from '../journal/surface'
import type { Coverage } from '../model/findings'
import type { OilHole } from '../model/journal'
import type { Pixel } from '../model/photo'
import type { Camera } from './camera'
import { type Outlines, outlinesOf, withinOutlines } from './outline'
import { emptyPointView, type PointView, rowView, viewPoint } from './row-view'

/** A photograph that counts: trusted, its roll and slide known. `ignore` in px of the photograph. */
export type CoverageView = { camera: Camera; ignore: readonly (readonly Pixel[])[] }

export type CoverageGrid = {
  /** Column i holds the angles [i, i + 1) / columns of a turn. */
  columns: number
  rows: number
  /** The rows' edges in s, mm, from the front; rows + 1 of them. */
  edgesS: Float64Array
  /** 1 = photographed well; row-major, the first row at the front. */
  seen: Uint8Array
}

export const wellPhotographed = { pxPerMm: 6, steepestDeg: 65 }

const columns = 360
const rimPoints = 72
const leastCosine = Math.cos((wellPhotographed.steepestDeg * Math.PI) / 180)

/** Shares 0..1 of cylinder, of each fillet (null at a step), and of the rims of all oil holes (null where there is none). */
export function coverageOf(
  surface: Surface,
  oilHoles: readonly OilHole[],
  views: readonly CoverageView[],
): { coverage: Coverage; grid: CoverageGrid } {
  const edgesS = rowEdges(surface)
  const rows = edgesS.length - 1
  const seen = new Uint8Array(rows * columns)
  const rims = rimPlaces(surface, oilHoles)
  const rimSeen = new Uint8Array(rims.length)
  const point = emptyPointView()
  for (const view of views) {
    const outlines = outlinesOf(view.ignore)
    for (let row = 0; row < rows; row++) {
      const terms = rowView(surface, view.camera, (edgesS[row] + edgesS[row + 1]) / 2)
      for (let i = 0; i < columns; i++) {
        const at = row * columns + i
        if (seen[at] === 0 && viewPoint(terms, cosines[i], sines[i], point) && isWell(view.camera, outlines, point)) seen[at] = 1
      }
    }
    rims.forEach(({ theta, s }, i) => {
      if (rimSeen[i] === 1 || !viewPoint(rowView(surface, view.camera, s), Math.cos(theta), Math.sin(theta), point)) return
      if (isWell(view.camera, outlines, point)) rimSeen[i] = 1
    })
  }
  const share = (from: number, to: number) => shareSeen(surface, edgesS, seen, from, to)
  return {
    coverage: {
      cylinder: share(surface.frontTangentS, surface.rearTangentS) ?? 0,
      frontFillet: share(0, surface.frontTangentS),
      rearFillet: share(surface.rearTangentS, surface.totalS),
      holeRims: rims.length === 0 ? null : rimSeen.reduce((sum, one) => sum + one, 0) / rims.length,
    },
    grid: { columns, rows, edgesS, seen },
  }
}

const cosines = Float64Array.from({ length: columns }, (_, i) => Math.cos(((i + 0.5) / columns) * 2 * Math.PI))
const sines = Float64Array.from({ length: columns }, (_, i) => Math.sin(((i + 0.5) / columns) * 2 * Math.PI))

function isWell(camera: Camera, outlines: Outlines, { u, v, depth, cosIncidence, cheekMargin }: PointView): boolean {
  return (
    cosIncidence > leastCosine &&
    camera.focalPx >= wellPhotographed.pxPerMm * depth &&
    cheekMargin >= 0 &&
    u >= 0 &&
    v >= 0 &&
    u <= camera.width &&
    v <= camera.height &&
    !withinOutlines(outlines, u, v)
  )
}

function rowEdges(surface: Surface): Float64Array {
  const { frontTangentS, rearTangentS, totalS } = surface
  const edges = [0]
  const add = (to: number, count: number) => {
    const from = edges[edges.length - 1]
    for (let k = 1; k <= count; k++) edges.push(k === count ? to : from + ((to - from) * k) / count)
  }
  if (frontTangentS > 0) add(frontTangentS, 8)
  if (rearTangentS > frontTangentS) add(rearTangentS, Math.min(120, Math.max(16, Math.round((rearTangentS - frontTangentS) / 0.5))))
  if (totalS > rearTangentS) add(totalS, 8)
  return Float64Array.from(edges)
}

/** Share by true area of the rows between two places; null where there are none. */
function shareSeen(surface: Surface, edgesS: Float64Array, seen: Uint8Array, from: number, to: number): number | null {
  let whole = 0
  let part = 0
  for (let row = 0; row + 1 < edgesS.length; row++) {
    const middle = (edgesS[row] + edgesS[row + 1]) / 2
    if (middle < from || middle > to) continue
    const area = radiusAt(surface, middle) * (edgesS[row + 1] - edgesS[row])
    let count = 0
    for (let i = 0; i < columns; i++) count += seen[row * columns + i]
    whole += area
    part += (area * count) / columns
  }
  return whole > 0 ? part / whole : null
}

/** Points around each mouth that lie on the journal. The tilt is right-hand positive: the rearward axis leans to greater angles. */
function rimPlaces(surface: Surface, oilHoles: readonly OilHole[]): { theta: number; s: number }[] {
  const places = []
  for (const hole of oilHoles) {
    const centreS = sOfAxial(surface, hole.axial)
    const tilt = (hole.tiltDeg * Math.PI) / 180
    for (let k = 0; k < rimPoints; k++) {
      const turn = (2 * Math.PI * k) / rimPoints
      const around = (hole.mouthAround / 2) * Math.cos(turn)
      const along = (hole.mouthAlong / 2) * Math.sin(turn)
      const s = centreS + along * Math.cos(tilt) - around * Math.sin(tilt)
      const theta = (hole.angleDeg * Math.PI) / 180 + (around * Math.cos(tilt) + along * Math.sin(tilt)) / surface.radius
      if (s >= 0 && s <= surface.totalS) places.push({ theta, s })
    }
  }
  return places
}
