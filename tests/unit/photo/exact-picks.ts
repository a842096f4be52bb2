/** Exact picks of a journal through a camera, from the definitions alone: what a perfect hand would pick. */
import { readInspection } from '../../../lib/journal/read-inspection'
import type { Journal } from '../../../lib/model/journal'
import type { Photo } from '../../../lib/model/photo'
import { noiseFrom } from '../../fixtures/render/noise'
import { type Pinhole, pinholeAt, pixelOf } from '../../fixtures/render/pinhole'

export const radius = 30
export const width = 40
/** Angle of the generator that faces the camera, degrees. */
export const facingDeg = 50
export const hole = { id: 'h1', angleDeg: 62, axial: 18, mouthAround: 8, mouthAlong: 10, tiltDeg: 0 }

/** A camera 230 mm from the axis, leaning 12 degrees along the shaft and turned 20 degrees about its line of sight. */
export function camera(more: Partial<{ focalPx: number; k1: number }> = {}): Pinhole {
  const [c, s] = [Math.cos((facingDeg * Math.PI) / 180), Math.sin((facingDeg * Math.PI) / 180)]
  return pinholeAt(
    { width: 4000, height: 3000, focalPx: 3300, k1: 0, ...more },
    [230 * c, 230 * s, width / 2 + 50],
    [2, -3, width / 2 + 1],
    20,
  )
}

export type Order = {
  sides?: [number, number]
  rings?: (number | 'front-cheek' | 'front-fillet' | 'rear-fillet' | 'rear-cheek')[]
  hole?: boolean
  clock?: [angleDeg: number, axial: number][]
}

const fillet = 2.5
/** [axial, radius] of a ring: tangent lines at R, cheeks at R + r, an inked line on the cylinder. */
const ringPlaces = {
  'front-cheek': [0, radius + fillet],
  'front-fillet': [fillet, radius],
  'rear-fillet': [width - fillet, radius],
  'rear-cheek': [width, radius + fillet],
} as const

export function picksOf(view: Pinhole, order: Order, noisePx = 0, seed = 1): Record<string, unknown> {
  const noise = noiseFrom(seed)
  const pick = (angleDeg: number, axial: number, rho = radius): [number, number] => {
    const theta = (angleDeg * Math.PI) / 180
    const [u, v] = pixelOf(view, [rho * Math.cos(theta), rho * Math.sin(theta), axial]) as [number, number]
    return noisePx > 0 ? [u + noisePx * noise.normal(), v + noisePx * noise.normal()] : [u, v]
  }
  const away = Math.hypot(view.centre[0], view.centre[1])
  const contourDeg = (Math.acos(radius / away) * 180) / Math.PI
  const side = (hand: number, count: number) => spread(count, 4, width - 4).map((axial) => pick(facingDeg + hand * contourDeg, axial))
  return {
    sides: [side(-1, order.sides?.[0] ?? 0), side(1, order.sides?.[1] ?? 0)],
    rings: (order.rings ?? []).map((at) => {
      const [axial, rho] = typeof at === 'number' ? [at, radius] : ringPlaces[at]
      return { at, points: spread(7, -60, 60).map((off) => pick(facingDeg + off, axial, rho)) }
    }),
    oilHoles: order.hole ? [{ id: 'h1', center: pick(hole.angleDeg, hole.axial) }] : [],
    clock: (order.clock ?? []).map(([angleDeg, axial]) => ({ angleDeg, axial, point: pick(angleDeg, axial) })),
    strip: null,
  }
}

export function journalAndPhoto(
  handles: Record<string, unknown>,
  photo: Record<string, unknown> = {},
  journal: Record<string, unknown> = {},
): { journal: Journal; photo: Photo } {
  const end = { form: 'tangent', radius: fillet }
  const read = readInspection({
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: { id: 'S1' },
    journals: [{ id: 'P1', kind: 'pin', diameter: 2 * radius, width, fillets: { front: end, rear: end }, oilHoles: [hole], ...journal }],
    photos: [{ id: 'ph1', journalId: 'P1', width: 4000, height: 3000, focalPx: 3300, pickSigmaPx: 0.7, handles, ...photo }],
  })
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  return { journal: read.value.journals[0], photo: read.value.photos[0] }
}

function spread(count: number, from: number, to: number): number[] {
  return Array.from({ length: count }, (_, i) => (count === 1 ? (from + to) / 2 : from + ((to - from) * i) / (count - 1)))
}
