/**
 * Oil holes in a photograph that shows the printed strip: dark places of a hole's typed size on the unrolled journal, wherever about the
 * shaft and along it, each with its rim measured. Which of them a person picked, and so which count, the joint solve says.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import { type Camera, emptySight, look } from './camera'
import { stateAt, unknownCount } from './fit-state'
import type { GreyBytes } from './printed-strip-markers'
import { type CylinderPlace, measuredRim, type MouthShape } from './printed-strip-rim'
import type { StripSight } from './printed-strip-sight'
import type { StripSeat } from './printed-strip-wrap'

/** A rim of the size of a hole: the hole, where the middle of its mouth is seen, and how well, px. */
export type StripRim = { holeId: string; u: number; v: number; sigmaPx: number }

/** Cells of the unrolled journal to the mouth's lesser radius. */
const cellsPerRadius = 5
/** Cosine to the surface's normal under which no hole is looked for. */
const leastCosine = 0.35
/** How much darker than around it, as a share of the brightness around, and how many places are tried. */
const leastDarkness = 0.25
const mostTried = 5

export function mouthRims(picture: GreyBytes, journal: Journal, seat: StripSeat, sight: StripSight): StripRim[] {
  const surface = surfaceOf(journal)
  const { camera, place } = stateAt(sight.base, new Float64Array(unknownCount))
  const way = seat.toFront === 'front' ? 1 : -1
  const edges = [sight.placement.frontEdge, sight.placement.frontEdge + way * seat.design.height]
  const [low, high] = [Math.min(...edges), Math.max(...edges)]
  return journal.oilHoles.flatMap((hole) => {
    const shape: MouthShape = { a: hole.mouthAround / 2, b: hole.mouthAlong / 2, tilt: (hole.tiltDeg * Math.PI) / 180 }
    const within = { camera, radius: surface.radius, eye: place, from: high - surface.width, to: low + surface.width }
    const found: (StripRim & CylinderPlace)[] = []
    for (const near of darkPlaces(picture, within, shape)
      .filter(({ z }) => z < low || z > high)
      .slice(0, mostTried)) {
      const rim = measuredRim(picture, camera, surface.radius, shape, near)
      if (!rim || found.some((other) => Math.hypot(other.u - rim.u, other.v - rim.v) < 4 * (other.sigmaPx + rim.sigmaPx))) continue
      found.push({ holeId: hole.id, u: rim.u, v: rim.v, sigmaPx: rim.sigmaPx, ...near })
    }
    return found.map(({ holeId, u, v, sigmaPx }) => ({ holeId, u, v, sigmaPx }))
  })
}

type Within = { camera: Camera; radius: number; eye: readonly number[]; from: number; to: number }

/** Darkest first. */
function darkPlaces(picture: GreyBytes, { camera, radius, eye, from, to }: Within, shape: MouthShape): CylinderPlace[] {
  const cell = Math.min(shape.a, shape.b) / cellsPerRadius
  const distance = Math.hypot(eye[0], eye[1])
  if (distance <= radius) return []
  const half = Math.acos(radius / distance)
  const columns = Math.ceil((2 * half * radius) / cell)
  const rows = Math.ceil((to - from) / cell)
  const first = Math.atan2(eye[1], eye[0]) - half
  const grey = new Float64Array(columns * rows)
  const sight = emptySight()
  for (let row = 0; row < rows; row++) for (let column = 0; column < columns; column++) grey[row * columns + column] = cellGrey(row, column)

  function cellGrey(row: number, column: number): number {
    let sum = 0
    for (let i = 0; i < samples; i++)
      for (let j = 0; j < samples; j++) {
        const theta = first + ((column + (i + 0.5) / samples) * cell) / radius
        const z = from + (row + (j + 0.5) / samples) * cell
        const [x, y] = [radius * Math.cos(theta), radius * Math.sin(theta)]
        const towards = [eye[0] - x, eye[1] - y, eye[2] - z]
        const facing = (towards[0] * x + towards[1] * y) / radius
        if (facing < leastCosine * Math.hypot(towards[0], towards[1], towards[2]) || !look(camera, x, y, z, sight)) return Number.NaN
        const u = Math.floor(sight[0])
        const v = Math.floor(sight[1])
        if (u < 0 || v < 0 || u >= picture.width || v >= picture.height) return Number.NaN
        sum += picture.data[v * picture.width + u]
      }
    return sum / samples ** 2
  }

  const { inside, around } = templates(shape, cell)
  const darkness = new Float64Array(columns * rows)
  for (let row = 0; row < rows; row++)
    for (let column = 0; column < columns; column++) {
      if (Number.isNaN(grey[row * columns + column])) continue
      const within = meanAt(grey, columns, rows, row, column, inside)
      const outside = meanAt(grey, columns, rows, row, column, around)
      if (within !== null && outside !== null) darkness[row * columns + column] = (outside - within) / Math.max(1, outside)
    }
  const order = [...darkness.keys()].filter((k) => darkness[k] >= leastDarkness).sort((a, b) => darkness[b] - darkness[a])
  const taken: number[] = []
  for (const k of order) {
    const apart = (other: number) =>
      Math.hypot((k % columns) - (other % columns), Math.floor(k / columns) - Math.floor(other / columns)) > cellsPerRadius
    if (taken.length < 2 * mostTried && taken.every(apart)) taken.push(k)
  }
  return taken.map((k) => ({
    theta: first + (((k % columns) + 0.5) * cell) / radius,
    z: from + (Math.floor(k / columns) + 0.5) * cell,
  }))
}

/** Samples of a cell, each way. */
const samples = 2

type Offset = readonly [row: number, column: number]

/** Cells well inside the mouth, and those around it. */
function templates({ a, b, tilt }: MouthShape, cell: number): { inside: Offset[]; around: Offset[] } {
  const reach = Math.ceil((1.6 * Math.max(a, b)) / cell)
  const inside: Offset[] = []
  const around: Offset[] = []
  for (let row = -reach; row <= reach; row++)
    for (let column = -reach; column <= reach; column++) {
      const [x, y] = [column * cell, row * cell]
      const r = Math.hypot((x * Math.cos(tilt) - y * Math.sin(tilt)) / a, (x * Math.sin(tilt) + y * Math.cos(tilt)) / b)
      if (r < 0.7) inside.push([row, column])
      else if (r > 1.15 && r < 1.6) around.push([row, column])
    }
  return { inside, around }
}

/** Null where more than half of it is out of sight. */
function meanAt(grey: Float64Array, columns: number, rows: number, row: number, column: number, offsets: readonly Offset[]): number | null {
  let sum = 0
  let count = 0
  for (const [down, right] of offsets) {
    const [r, c] = [row + down, column + right]
    if (r < 0 || c < 0 || r >= rows || c >= columns) continue
    const value = grey[r * columns + c]
    if (Number.isNaN(value)) continue
    sum += value
    count++
  }
  return count > offsets.length / 2 ? sum / count : null
}
