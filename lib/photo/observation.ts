/** Handles as observations: what each pick was picked on, and what a state of the search predicts for it (reading.ts has the geometry). */
import { ringOf, surfaceNormal, sOfAxial } from '../journal/surface'
import type { Handles, RingPlace } from '../model/photo'
import type { Journal } from '../model/journal'
import { type FitState, unknownCount } from './fit-state'
import { emptyReading, type Reading, readObservation } from './reading'

export type HandleRef =
  | { kind: 'side'; list: 0 | 1; index: number }
  | { kind: 'ring'; ring: number; at: RingPlace; index: number }
  | { kind: 'oilHole'; index: number; id: string }
  | { kind: 'clock'; index: number; angleDeg: number; axial: number }

export type Observation = { handle: HandleRef; u: number; v: number } & (
  | { type: 'contour'; list: 0 | 1 }
  | { type: 'circle'; at: RingPlace }
  | { type: 'point'; theta: number; axial: number }
)

export type Measured = {
  residualsPx: number[]
  /** One full row of unknowns for each residual. */
  rows: Float64Array[]
  /** The predicted place nearest to the pick. */
  nearest: { u: number; v: number }
  /** Does the predicted place face the camera? */
  facing: boolean
  /** Axial place of the predicted point, mm. */
  axial: number
}

export function observationsOf(journal: Journal, handles: Handles): Observation[] {
  const picks: [HandleRef, readonly [number, number]][] = [
    ...handles.sides.flatMap((points, list) =>
      points.map((point, index): [HandleRef, readonly [number, number]] => [{ kind: 'side', list: list as 0 | 1, index }, point]),
    ),
    ...handles.rings.flatMap(({ at, points }, ring) =>
      points.map((point, index): [HandleRef, readonly [number, number]] => [{ kind: 'ring', ring, at, index }, point]),
    ),
    ...handles.oilHoles.map(({ id, center }, index): [HandleRef, readonly [number, number]] => [{ kind: 'oilHole', index, id }, center]),
    ...handles.clock.map(({ angleDeg, axial, point }, index): [HandleRef, readonly [number, number]] => [
      { kind: 'clock', index, angleDeg, axial },
      point,
    ]),
  ]
  return picks.flatMap(([handle, [u, v]]) => observationOf(journal, handle, { u, v }) ?? [])
}

/** A pick on what its handle names; null where that is a hole the journal does not have. */
export function observationOf(journal: Journal, handle: HandleRef, { u, v }: { u: number; v: number }): Observation | null {
  if (handle.kind === 'side') return { type: 'contour', list: handle.list, handle, u, v }
  if (handle.kind === 'ring') return { type: 'circle', at: handle.at, handle, u, v }
  const place = handle.kind === 'clock' ? handle : journal.oilHoles.find((h) => h.id === handle.id)
  return place ? { type: 'point', theta: radians(place.angleDeg), axial: place.axial, handle, u, v } : null
}

/**
 * Do the handles tell the front of the journal from its rear? A named ring does; of holes, witness marks and inked lines it
 * takes two at different places, because sides and a single place look the same with the journal turned end for end.
 */
export function tellsFrontFromRear(observations: readonly Observation[]): boolean {
  const places = new Set<string>()
  for (const o of observations) {
    if (o.type === 'circle' && typeof o.at !== 'number') return true
    if (o.type === 'circle') places.add(`axial ${o.at}`)
    if (o.type === 'point') {
      places.add(`axial ${o.axial}`)
      places.add(`angle ${Math.cos(o.theta).toFixed(6)} ${Math.sin(o.theta).toFixed(6)}`)
    }
  }
  const axials = [...places].filter((place) => place.startsWith('axial')).length
  return axials > 1 || places.size - axials > 1
}

/** Measures one observation; null where the state cannot see it (camera inside the metal, point behind the camera). */
export function measure(
  state: FitState,
  observation: Observation,
  contourSigns: readonly [1 | -1, 1 | -1],
  reading: Reading = emptyReading(),
): Measured | null {
  if (!readObservation(state, observation, contourSigns, reading)) return null
  const { count, residualsPx, rows, point, sight } = reading
  return {
    residualsPx: Array.from(residualsPx.subarray(0, count)),
    rows: Array.from({ length: count }, (_, i) => rows.slice(i * unknownCount, (i + 1) * unknownCount)),
    nearest: { u: sight[0], v: sight[1] },
    facing: facesCamera(state, observation, point),
    axial: point[2],
  }
}

/** Does the predicted place of a pick face the camera? The apparent contour always does. */
export function facesCamera({ surface, place }: FitState, observation: Observation, point: ArrayLike<number>): boolean {
  const [x, y, z] = [point[0], point[1], point[2]]
  if (observation.type === 'contour') return true
  const s = sOfAxial(surface, observation.type === 'circle' ? ringOf(surface, observation.at).axial : observation.axial)
  const normal = surfaceNormal(surface, { theta: Math.atan2(y, x), s })
  return normal[0] * (place[0] - x) + normal[1] * (place[1] - y) + normal[2] * (place[2] - z) > 0
}

function radians(degrees: number): number {
  return (degrees * Math.PI) / 180
}
