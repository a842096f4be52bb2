/** The rendered shop sets in the terms of the bench: true cameras as the product writes them, truth as lines in mm on the map. */
import type { Camera } from '../../lib/photo/camera'
import { sOfAxial, surfaceOf } from '../../lib/journal/surface'
import type { Pinhole } from '../fixtures/render/pinhole'
import type { ShopSet } from '../fixtures/render/shop-set'
import { readInspectionText } from '../../lib/journal/read-inspection'
import type { TruthLine } from './line-truth'

export function cameraOf({ width, height, focalPx, k1, centre, right, down, ahead }: Pinhole): Camera {
  const along = (axis: readonly number[]) => -(axis[0] * centre[0] + axis[1] * centre[1] + axis[2] * centre[2])
  return {
    width,
    height,
    focalPx,
    k1,
    rotation: [...right, ...down, ...ahead] as unknown as Camera['rotation'],
    translation: [along(right), along(down), along(ahead)],
  }
}

/** The set's journal as the product reads it. */
export function journalOfSet(set: ShopSet) {
  const read = readInspectionText(JSON.stringify(set.inspection))
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  return read.value.journals[0]
}

export function truthLines(set: ShopSet, lighting: 'white' | 'ultraviolet'): TruthLine[] {
  const surface = surfaceOf(journalOfSet(set))
  const girth = 2 * Math.PI * surface.radius
  return set.truth.curves.flatMap(({ kind, cls, polylines, seenPxPerMm }) =>
    polylines.map((line, i) => ({
      kind,
      cls,
      points: line.map(({ angleDeg, axial }): [number, number] => [(angleDeg / 360) * girth, sOfAxial(surface, axial)]),
      seen: seenPxPerMm[lighting][i].map((scale) => scale > 0),
    })),
  )
}
