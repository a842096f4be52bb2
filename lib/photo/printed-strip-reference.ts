/**
 * Where the strip begins on the journal, from hand picks in any photograph that shows it: an oil hole or witness mark tells
 * both angle and place along the axis, a ring the latter. A rough answer; the joint solve settles it.
 */
import { ringOf, type Surface } from '../journal/surface'
import { add, apply, multiply, rotationOf } from '../journal/vector'
import { pixelRay } from './camera'
import { type FitBase, stateAt, unknownCount } from './fit-state'
import type { Observation } from './observation'
import { nearCylinderHit } from './unproject'

export type StripShift = { /** Radians; null where nothing tells. */ turn: number | null /** mm */; slide: number | null }

/** By how much the frame that the bases are in must be turned and slid for the picks to lie where their names say. */
export function shiftToPicks(surface: Surface, photos: readonly { base: FitBase; observations: readonly Observation[] }[]): StripShift {
  const slides: number[] = []
  let cos = 0
  let sin = 0
  for (const { base, observations } of photos) {
    const { camera } = stateAt(base, new Float64Array(unknownCount))
    for (const o of observations) {
      if (o.type === 'contour') continue
      const { axial, radius } = o.type === 'circle' ? ringOf(surface, o.at) : { axial: o.axial, radius: surface.radius }
      const { origin, direction } = pixelRay(camera, o)
      const t = nearCylinderHit(origin, direction, radius)
      if (t === null) continue
      slides.push(axial - (origin[2] + t * direction[2]))
      if (o.type !== 'point') continue
      const turn = o.theta - Math.atan2(origin[1] + t * direction[1], origin[0] + t * direction[0])
      cos += Math.cos(turn)
      sin += Math.sin(turn)
    }
  }
  return {
    turn: cos === 0 && sin === 0 ? null : Math.atan2(sin, cos),
    slide: slides.length === 0 ? null : slides.sort((a, b) => a - b)[slides.length >> 1],
  }
}

/** A base in the frame turned and slid so. */
export function shiftedBase(base: FitBase, turn: number, slide: number): FitBase {
  const rotation = multiply(base.rotation, rotationOf([0, 0, -turn]))
  return { ...base, rotation, translation: add(base.translation, apply(rotation, [0, 0, -slide])) }
}
