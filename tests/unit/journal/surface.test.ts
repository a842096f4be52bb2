import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  axialOfS,
  meridianTangent,
  radiusAt,
  ringOf,
  sOfAxial,
  surfaceNormal,
  surfaceOf,
  surfacePoint,
  withFilletRadii,
} from '../../../lib/journal/surface'
import { arcByChords, edgeRadius, journalSurface, plainEnds } from './journals'

const step = { form: 'step' } as const
const undercut = { form: 'undercut', width: 3 } as const
const tangent = { form: 'tangent', radius: 2.5 } as const
const ends = {
  'two radii': plainEnds,
  'an undercut and a step': { front: undercut, rear: step },
  'a step and a radius': { front: step, rear: tangent },
}

describe('meridian arc', () => {
  it('two tangent ends: S = W - rf - rr + (rf + rr) pi / 2', () => {
    expect(journalSurface().totalS).toBeCloseTo(40 - 6.5 + (6.5 * Math.PI) / 2, 12)
  })

  it('an undercut runs straight on to the cheek and a step takes nothing: S = W', () => {
    const surface = journalSurface({ front: undercut, rear: step })
    expect(surface.totalS).toBe(40)
    expect([surface.frontTangentZ, surface.rearTangentZ, surface.frontTangentS, surface.rearTangentS]).toEqual([3, 40, 3, 40])
    expect(radiusAt(surface, 1)).toBe(30)
  })

  it.each(Object.entries(ends))('with %s the arc to an axial place is the sum of its chords', (_, fillets) => {
    const surface = journalSurface(fillets)
    for (const z of [0.4, 1.7, 2.5, 3, 20, 36.2, 37.4, 39.7, 40])
      expect(sOfAxial(surface, z)).toBeCloseTo(arcByChords(30, 40, fillets, z), 5)
  })

  it.each(Object.entries(ends))('with %s axial -> s -> axial comes back, cheeks and tangent lines included', (_, fillets) => {
    const surface = journalSurface(fillets)
    for (const z of [0, 1e-12, 1e-6, 2.5, 3, 36, 37.5, 40 - 1e-6, 40]) expect(axialOfS(surface, sOfAxial(surface, z))).toBeCloseTo(z, 12)
    fc.assert(
      fc.property(fc.double({ min: 0, max: 40, noNaN: true }), (z) => Math.abs(axialOfS(surface, sOfAxial(surface, z)) - z) < 1e-11),
    )
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: surface.totalS, noNaN: true }),
        (s) => Math.abs(sOfAxial(surface, axialOfS(surface, s)) - s) < 1e-7,
      ),
    )
  })

  it('grows without a jump from cheek to cheek', () => {
    const surface = journalSurface()
    let before = -1
    for (let z = 0; z <= 40; z += 0.01) {
      const s = sOfAxial(surface, z)
      expect(s).toBeGreaterThan(before)
      before = s
    }
    for (const line of [2.5, 36]) expect(sOfAxial(surface, line + 1e-9) - sOfAxial(surface, line - 1e-9)).toBeLessThan(1e-8)
  })
})

describe('true radius', () => {
  it.each(Object.entries(ends))('with %s it is the radius of the definition at that axial place', (_, fillets) => {
    const surface = journalSurface(fillets)
    for (let z = 0; z <= 40; z += 0.25) expect(radiusAt(surface, sOfAxial(surface, z))).toBeCloseTo(edgeRadius(30, 40, fillets, z), 9)
  })

  it('a named ring lies where its end meets the cheek or at the tangent line, an inked line on the edge', () => {
    const surface = journalSurface()
    expect(ringOf(surface, 'front-cheek')).toEqual({ axial: 0, radius: 32.5 })
    expect(ringOf(surface, 'rear-cheek')).toEqual({ axial: 40, radius: 34 })
    expect(ringOf(surface, 'front-fillet')).toEqual({ axial: 2.5, radius: 30 })
    expect(ringOf(surface, 'rear-fillet')).toEqual({ axial: 36, radius: 30 })
    expect(ringOf(surface, 1).radius).toBeCloseTo(edgeRadius(30, 40, plainEnds, 1), 9)
    const cut = journalSurface({ front: undercut, rear: step })
    expect(ringOf(cut, 'front-cheek')).toEqual({ axial: 0, radius: 30 })
    expect(ringOf(cut, 'front-fillet')).toEqual({ axial: 3, radius: 30 })
    expect(ringOf(cut, 'rear-fillet')).toEqual({ axial: 40, radius: 30 })
  })
})

describe('place and normal', () => {
  it('the angle runs clockwise seen from the front: from x at 0 to y at 90, the axis to the rear', () => {
    const surface = journalSurface()
    const [x, y, z] = surfacePoint(surface, { theta: Math.PI / 2, s: sOfAxial(surface, 10) })
    expect([x, y, z].map((c) => Math.round(c * 1e9) / 1e9)).toEqual([0, 30, 10])
  })

  it.each(Object.entries(ends))('with %s the normal is the cross product of the two movements, outward, of length 1', (_, fillets) => {
    const surface = journalSurface(fillets)
    for (const theta of [0, 1, 3.1, 5.9])
      for (let s = 0.05; s < surface.totalS; s += 0.37) {
        if (Math.abs(s - surface.frontTangentS) < 1e-3 || Math.abs(s - surface.rearTangentS) < 1e-3) continue
        const h = 1e-5
        const at = (dTheta: number, ds: number) => surfacePoint(surface, { theta: theta + dTheta, s: s + ds })
        const by = (a: readonly number[], b: readonly number[]) => a.map((value, i) => (value - b[i]) / (2 * h))
        const around = by(at(h, 0), at(-h, 0))
        const along = by(at(0, h), at(0, -h))
        // around x along points out of the metal: at angle 0 that is y x z = x
        const cross = [
          around[1] * along[2] - around[2] * along[1],
          around[2] * along[0] - around[0] * along[2],
          around[0] * along[1] - around[1] * along[0],
        ]
        const size = Math.hypot(...cross)
        const normal = surfaceNormal(surface, { theta, s })
        normal.forEach((value, i) => {
          expect(value).toBeCloseTo(cross[i] / size, 5)
        })
        expect(Math.hypot(...along)).toBeCloseTo(1, 6)
        const [dRho, dZ] = meridianTangent(surface, s)
        expect(Math.hypot(dRho, dZ)).toBeCloseTo(1, 12)
      }
  })

  it('in a fillet the normal leans away from its cheek', () => {
    const surface = journalSurface()
    expect(surfaceNormal(surface, { theta: 0, s: 0 })[2]).toBeCloseTo(1, 12)
    expect(surfaceNormal(surface, { theta: 0, s: surface.totalS })[2]).toBeCloseTo(-1, 12)
  })
})

describe('other radii', () => {
  it('changing a radius is the surface of a journal made so; ends that are no torus stay', () => {
    const changed = withFilletRadii(journalSurface(), 3, 5)
    expect(changed).toEqual(journalSurface({ front: { form: 'tangent', radius: 3 }, rear: { form: 'tangent', radius: 5 } }))
    const cut = journalSurface({ front: undercut, rear: step })
    expect(withFilletRadii(cut, 3, 5)).toEqual(cut)
  })

  it('keeps the sigma of the radius', () => {
    const surface = surfaceOf({ diameter: 60, width: 40, fillets: { front: { ...tangent, sigma: 0.2 }, rear: step } })
    expect(surface.front.radiusSigma).toBe(0.2)
    expect(withFilletRadii(surface, 3, 0).front.radiusSigma).toBe(0.2)
  })
})
