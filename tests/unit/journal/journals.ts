/** Surfaces and small measures by brute force for the tests of the journal, written from the definitions of the coordinates alone. */
import { type Surface, surfaceOf } from '../../../lib/journal/surface'

type Ends = Parameters<typeof surfaceOf>[0]['fillets']

export const plainEnds: Ends = { front: { form: 'tangent', radius: 2.5 }, rear: { form: 'tangent', radius: 4 } }

export function journalSurface(fillets: Ends = plainEnds, diameter = 60, width = 40): Surface {
  return surfaceOf({ diameter, width, fillets })
}

/** What the definition says of the edge at axial z: R + r - sqrt(r^2 - (r - z)^2) within a quarter torus, else R. */
export function edgeRadius(radius: number, width: number, ends: Ends, z: number): number {
  const torus = (r: number, depth: number) => radius + r - Math.sqrt(Math.max(0, r * r - (r - depth) ** 2))
  if (ends.front.form === 'tangent' && z < ends.front.radius) return torus(ends.front.radius, z)
  if (ends.rear.form === 'tangent' && width - z < ends.rear.radius) return torus(ends.rear.radius, width - z)
  return radius
}

/** Length of the edge from the front cheek to axial z by chords of tiny steps, finest where the edge is steep. */
export function arcByChords(radius: number, width: number, ends: Ends, z: number): number {
  const steps = 200_000
  let length = 0
  let before: [number, number] | null = null
  for (let k = 0; k <= steps; k++) {
    // steps crowd towards both ends of the journal, where the edge stands upright
    const at = (width * (1 - Math.cos((Math.PI * k) / steps))) / 2
    const place: [number, number] = [Math.min(at, z), edgeRadius(radius, width, ends, Math.min(at, z))]
    if (before) length += Math.hypot(place[0] - before[0], place[1] - before[1])
    before = place
    if (at >= z) break
  }
  return length
}

export const degrees = (radians: number): number => (radians * 180) / Math.PI
export const radians = (degree: number): number => (degree * Math.PI) / 180
