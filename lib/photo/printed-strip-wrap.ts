/**
 * The strip wrapped round a journal: where a place of the flat strip lies in space, with its derivatives. A strip whose
 * front edge lies to the front has theta = zero + 2 x s / (D + t), z = frontEdge + y s + skew x / length at radius D/2 + t;
 * lying the other way round, both run backwards.
 */
import type { Vec3 } from '../journal/vector'
import { emptySight, look } from './camera'
import { type FitState, unknownCount, writeMovement } from './fit-state'
import type { StripDesign, StripPoint } from './printed-strip-design'

/** How the strip lies. Radians and mm; `skew`: how far its end lies behind its beginning; `scale`: printed over wanted size. */
export type StripPlacement = { zeroAngle: number; frontEdge: number; skew: number; scale: number }

/** What it is wrapped on. */
export type StripSeat = { design: StripDesign; journalRadius: number; toFront: 'front' | 'rear' }

export const placementNames = ['zeroAngle', 'frontEdge', 'skew', 'scale'] as const
export const placementCount = placementNames.length

export type WrappedPoint = {
  point: Vec3
  theta: number
  /** Displacement, mm, by each of the four of the placement, and by 1 mm of x and of y on the flat strip. */
  byPlacement: [Vec3, Vec3, Vec3, Vec3]
  byX: Vec3
  byY: Vec3
}

export function wrappedPoint(seat: StripSeat, placement: StripPlacement, { x, y }: StripPoint): WrappedPoint {
  const { design, journalRadius } = seat
  const way = seat.toFront === 'front' ? 1 : -1
  const rho = journalRadius + design.thickness
  const perMm = (way * 2) / (2 * journalRadius + design.thickness)
  const theta = placement.zeroAngle + perMm * x * placement.scale
  const cos = Math.cos(theta)
  const sin = Math.sin(theta)
  const along = (way * x) / design.length
  const around = (angle: number): [number, number] => [-rho * sin * angle, rho * cos * angle]
  const [sx, sy] = around(perMm * x)
  const [xx, xy] = around(perMm * placement.scale)
  return {
    point: [rho * cos, rho * sin, placement.frontEdge + way * y * placement.scale + placement.skew * along],
    theta,
    byPlacement: [
      [-rho * sin, rho * cos, 0],
      [0, 0, 1],
      [0, 0, along],
      [sx, sy, way * y],
    ],
    byX: [xx, xy, (way * placement.skew) / design.length],
    byY: [0, 0, way * placement.scale],
  }
}

export type SeenPlace = {
  u: number
  v: number
  /** Movement in u and in v by the ten unknowns of fit-state.ts, px. */
  uBy: Float64Array
  vBy: Float64Array
}

/** A place of the journal frame in the picture; null behind the camera. */
export function seenPlace(state: FitState, [x, y, z]: Vec3): SeenPlace | null {
  const sight = emptySight()
  if (!look(state.camera, x, y, z, sight)) return null
  const uBy = new Float64Array(unknownCount)
  const vBy = new Float64Array(unknownCount)
  writeMovement(state, x, y, z, sight, 1, 0, uBy, 0)
  writeMovement(state, x, y, z, sight, 0, 1, vBy, 0)
  return { u: sight[0], v: sight[1], uBy, vBy }
}

/** How it moves in the picture, px, when it is displaced by so many mm: as the unknowns' offsets and slide do. */
export function inPicture({ uBy, vBy }: SeenPlace, d: Vec3): [number, number] {
  return [uBy[2] * d[0] + uBy[3] * d[1] + uBy[5] * d[2], vBy[2] * d[0] + vBy[3] * d[1] + vBy[5] * d[2]]
}
