/** A mark as measured with rule and protractor: where one end lies, how long it is, how it leans. */
import { sOfAxial, type Surface } from '@/lib/journal/surface'
import { type Mark, markSchema } from '@/lib/model/mark'
import { done, failed, type Result } from '@/lib/model/result'

export type TypedMeasure = {
  /** The end nearer to the front: angle about the shaft, and mm from the front cheek. */
  angleDeg: number
  axial: number
  length: number
  /** 0 along the shaft, 90 around. */
  toShaftDeg: number
  hand: 'right' | 'left'
  /** What the rule reads to, plus-minus at 95 %, mm. */
  plusMinus: number
}

export type TypedFailure =
  | { code: 'begins-off-journal' }
  | { code: 'ends-off-journal'; roomMm: number }
  | { code: 'bad-angle' }
  | { code: 'no-length' }

/** The line on the map. A right-hand line's angle grows towards the rear. */
export function typedMark(name: string, journalId: string, surface: Surface, measure: TypedMeasure): Result<Mark, TypedFailure> {
  const { angleDeg, axial, length, toShaftDeg, hand, plusMinus } = measure
  if (!(length > 0)) return failed({ code: 'no-length' })
  if (!(toShaftDeg >= 0 && toShaftDeg <= 90)) return failed({ code: 'bad-angle' })
  if (!(axial >= 0 && axial <= surface.width)) return failed({ code: 'begins-off-journal' })
  const s = sOfAxial(surface, axial)
  const toShaft = (toShaftDeg * Math.PI) / 180
  const endS = s + length * Math.cos(toShaft)
  if (endS > surface.totalS) return failed({ code: 'ends-off-journal', roomMm: (surface.totalS - s) / Math.cos(toShaft) })
  const turnDeg = ((length * Math.sin(toShaft)) / surface.radius) * (180 / Math.PI) * (hand === 'right' ? 1 : -1)
  // successive points stay less than half a turn apart
  const steps = Math.max(1, Math.ceil(Math.abs(turnDeg) / 90))
  const points = Array.from({ length: steps + 1 }, (_, index) => ({
    angleDeg: angleDeg + (turnDeg * index) / steps,
    s: s + ((endS - s) * index) / steps,
  }))
  return done(markSchema.parse({ id: name, journalId, shape: 'line', points, sigmaMm: plusMinus / 1.96 }))
}
