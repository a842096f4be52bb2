/**
 * An oil hole on the map: the elliptic mouth, and the line at a distance all around it. That line is the mouth's rim moved along its normal,
 * not a larger ellipse. Ellipse in mm: angle times R around, meridian arc along; turned by its tilt, right-hand positive.
 */
import { type MapPoint, sOfAxial, type Surface } from '@/lib/journal/surface'
import type { OilHole } from '@/lib/model/journal'

const steps = 96

/** The rim, or the line `distance` mm outside it. */
export function oilHoleOutline(surface: Surface, hole: OilHole, distance: number): MapPoint[] {
  const half = { around: hole.mouthAround / 2, along: hole.mouthAlong / 2 }
  const tilt = (hole.tiltDeg * Math.PI) / 180
  const centre = { theta: (hole.angleDeg * Math.PI) / 180, s: sOfAxial(surface, hole.axial) }
  return Array.from({ length: steps }, (_, index) => {
    const turn = (2 * Math.PI * index) / steps
    const normal = { around: Math.cos(turn) * half.along, along: Math.sin(turn) * half.around }
    const size = Math.hypot(normal.around, normal.along)
    const around = half.around * Math.cos(turn) + (normal.around / size) * distance
    const along = half.along * Math.sin(turn) + (normal.along / size) * distance
    return {
      theta: centre.theta + (around * Math.cos(tilt) + along * Math.sin(tilt)) / surface.radius,
      s: centre.s + along * Math.cos(tilt) - around * Math.sin(tilt),
    }
  })
}
