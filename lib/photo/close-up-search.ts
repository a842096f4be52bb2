/**
 * Where on the map a close-up may lie, and how it was held: for each likely scale and each direction of the lay a square-on view
 * is assumed, the picture rolled out as on an endless cylinder, and its coarse texture compared with the whole map at once.
 * Scale, turn and lean need to be right to about 8 %, 5 and 15 degrees only: the refinement mends the rest.
 */
import { type Surface, surfaceOf, sOfAxial, ringOf } from '../journal/surface'
import { closeUpCamera, type CloseUpPose, type Lens } from './close-up-camera'
import { type CloseUpView, closeUpStrip } from './close-up-strip'
import type { LayDirections } from './lay-direction'
import type { Observation } from './observation'
import { correlationOverMap, type MapSpectra } from './plane-correlation'
import { type TextureScale, textureOf } from './texture'
import { pixelToMap } from './unproject'
import { wrapped } from '../journal/wrapped-angle'

export type CloseUpCandidate = {
  pose: CloseUpPose
  correlation: number
  /** Correlation times the root of the mm^2 compared: a little that is much alike happens by chance, much does not. */
  weight: number
}

/** The texture that close-ups are looked for by. */
export const coarseTexture: TextureScale = { fineMm: 0.5, broadMm: 3, streakMm: 6, contrastMm: 4 }

/** Diagonal of what a close-up shows: in diameters of the journal at most, in mm at least. */
const mostDiameters = 1.25
const leastDiagonalMm = 14
const scaleStep = 1.12
const leastShare = 0.5
const leastCorrelation = 0.3
const peaksEach = 3
/** Candidates nearer than this are one. */
const sameMm = 3
const sameScale = 1.3
const sameTurn = Math.PI / 6
/** How far a pick may lie from where a square-on view puts it: mm, and share of its distance from the picture's middle. */
const handleRoomMm = 2
const handleRoomShare = 0.18
/** Without a clear lay every turn is tried. */
const leastClearness = 1.35
const turnStep = (7.5 * Math.PI) / 180
/** Two directions within this (its sine) are one. */
const sameAxisSine = 0.09

export type CloseUpSearch = {
  surface: Surface
  map: MapSpectra
  view: CloseUpView
  lens: Lens
  lay: LayDirections
  observations: readonly Observation[]
  leans: readonly (readonly [around: number, along: number])[]
}

/** The weightiest first. */
export function closeUpCandidates(search: CloseUpSearch, most: number): CloseUpCandidate[] {
  const { surface, lens } = search
  const diagonal = Math.hypot(lens.width, lens.height)
  const found: CloseUpCandidate[] = []
  const turns = likelyTurns(search)
  for (let shown = leastDiagonalMm; shown <= mostDiameters * 2 * surface.radius; shown *= scaleStep) {
    for (const right of turns) {
      for (const [leanAround, leanAlong] of search.leans) {
        found.push(...peaksOf(search, { pxPerMm: diagonal / shown, right, leanAround, leanAlong }))
      }
    }
  }
  return distinct(surface, found).slice(0, most)
}

function likelyTurns({ lay, observations }: CloseUpSearch): number[] {
  // the axis lies across a ring
  const axes = ringAxes(observations)
  for (const axis of lay.axes) if (axes.every((known) => Math.abs(Math.sin(known - axis)) > sameAxisSine)) axes.push(axis)
  if (lay.clearness < leastClearness && ringAxes(observations).length === 0) {
    for (let axis = 0; axis < Math.PI; axis += turnStep) axes.push(axis)
  }
  // the axis points to picture direction -right where it runs to the rear
  return axes.flatMap((axis) => [-axis, -axis + Math.PI])
}

function ringAxes(observations: readonly Observation[]): number[] {
  const byRing = new Map<number, Observation[]>()
  for (const o of observations) {
    if (o.handle.kind === 'ring') byRing.set(o.handle.ring, [...(byRing.get(o.handle.ring) ?? []), o])
  }
  return [...byRing.values()].flatMap((points) => {
    const [first, last] = [points[0], points[points.length - 1]]
    return points.length > 1 ? [Math.atan2(last.v - first.v, last.u - first.u) + Math.PI / 2] : []
  })
}

type Held = Pick<CloseUpPose, 'pxPerMm' | 'right' | 'leanAround' | 'leanAlong'>

function peaksOf({ surface, map, view, lens, observations }: CloseUpSearch, held: Held): CloseUpCandidate[] {
  const { width, height, pxPerMm } = map.strip
  const half = Math.ceil((Math.hypot(lens.width, lens.height) / 2 / held.pxPerMm + 2) * pxPerMm)
  const size = 2 * half + 1
  const wide = Math.min(size, width / 2 - 1)
  const endless = surfaceOf({
    diameter: 2 * surface.radius,
    width: size / pxPerMm,
    fillets: { front: { form: 'step' }, rear: { form: 'step' } },
  })
  const camera = closeUpCamera(endless, { ...held, theta: 0, s: endless.totalS / 2 }, lens)
  const firstColumn = -((wide - 1) >> 1)
  const grey = closeUpStrip(endless, view, camera, { columns: width, rows: size, firstColumn, firstRow: 0, width: wide, height: size })
  const texture = textureOf(grey, coarseTexture)
  // column -firstColumn holds the angles just beyond 0, row `half` the middle
  const { correlation, compared } = correlationOverMap(map, { texture, middleColumn: -firstColumn, middleRow: half }, leastShare)
  const rooms = handleRooms(surface, endless, camera, observations)
  if (!rooms) return []
  const peaks: CloseUpCandidate[] = []
  for (let y = 1; y < height - 1; y++) {
    for (let x = 0; x < width; x++) {
      const at = y * width + x
      const score = correlation[at]
      if (score < leastCorrelation || !isSummit(correlation, width, x, y)) continue
      const pose = { ...held, theta: (x / width) * 2 * Math.PI, s: surface.totalS * (1 - (y + 0.5) / height) }
      if (rooms.every((room) => room(pose.theta, pose.s)))
        peaks.push({ pose, correlation: score, weight: (score * Math.sqrt(compared[at])) / pxPerMm })
    }
  }
  return peaks.sort((a, b) => b.weight - a.weight).slice(0, peaksEach)
}

function isSummit(scores: Float32Array, width: number, x: number, y: number): boolean {
  const score = scores[y * width + x]
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) if (scores[(y + dy) * width + ((x + dx + width) % width)] > score) return false
  }
  return true
}

type Room = (theta: number, s: number) => boolean

/** Whether the handles lie near enough to their places; null where this view cannot show them at all. */
function handleRooms(
  surface: Surface,
  endless: Surface,
  camera: ReturnType<typeof closeUpCamera>,
  observations: readonly Observation[],
): Room[] | null {
  const rooms: Room[] = []
  for (const o of observations) {
    if (o.type === 'contour' || (o.type === 'circle' && (o.at === 'front-cheek' || o.at === 'rear-cheek'))) continue
    const hit = pixelToMap(endless, camera, { u: o.u, v: o.v })
    if (!hit.ok) return null
    const around = hit.value.theta
    const along = hit.value.s - endless.totalS / 2
    const room = handleRoomMm + handleRoomShare * Math.hypot(surface.radius * around, along)
    const s = sOfAxial(surface, o.type === 'point' ? o.axial : ringOf(surface, o.at).axial)
    rooms.push((theta, middle) => {
      if (Math.abs(middle + along - s) > room) return false
      return o.type === 'circle' || surface.radius * Math.abs(wrapped(theta + around - o.theta)) <= room
    })
  }
  return rooms
}

function distinct(surface: Surface, candidates: readonly CloseUpCandidate[]): CloseUpCandidate[] {
  const kept: CloseUpCandidate[] = []
  for (const one of [...candidates].sort((a, b) => b.weight - a.weight)) {
    const known = kept.some(({ pose }) => {
      const apart = Math.hypot(surface.radius * wrapped(pose.theta - one.pose.theta), pose.s - one.pose.s)
      const scale = Math.max(pose.pxPerMm / one.pose.pxPerMm, one.pose.pxPerMm / pose.pxPerMm)
      return apart < sameMm && scale < sameScale && Math.abs(wrapped(pose.right - one.pose.right)) < sameTurn
    })
    if (!known) kept.push(one)
  }
  return kept
}
