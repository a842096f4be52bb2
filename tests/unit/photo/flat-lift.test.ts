import { describe, expect, it } from 'vitest'
import { type LiftFit, fitLift, liftPixel } from '../../../lib/photo/flat-lift'
import { fitHomography } from '../../../lib/photo/homography'
import { liftedPoint, liftMark, liftNote } from '../../../lib/photo/lift-mark'
import { type LiftCase, liftCase } from '../../fixtures/simulated/flat-lifts'

function fitted({ surface, lift }: LiftCase): LiftFit {
  const fit = fitLift(surface, lift)
  if (!fit.ok) throw new Error(fit.reason.code)
  return fit.value
}
const turnsApart = (one: number, other: number) => Math.abs(Math.sin((one - other) / 2)) * 2

describe('a flat lift', () => {
  it('with exact taps puts every place where it lies, whichever way it lay, was seen or its grid ran', () => {
    for (let seed = 1; seed <= 24; seed++) {
      const drawn = liftCase(seed, { noise: 0, points: 4 + (seed % 3), mirrored: seed % 2 === 0 })
      const fit = fitted(drawn)
      expect(fit.residualsWithinRange).toBe(true)
      for (const { pixel, theta, s } of drawn.places) {
        const at = liftedPoint(fit, pixel)
        expect(turnsApart(at?.theta ?? 9, theta) * drawn.surface.radius).toBeLessThan(1e-5)
        expect(Math.abs((at?.s ?? -9) - s)).toBeLessThan(1e-5)
        const back = liftPixel(fit, { theta: at?.theta ?? 9, s })
        expect(Math.hypot((back?.u ?? 0) - pixel[0], (back?.v ?? 0) - pixel[1])).toBeLessThan(1e-3)
      }
    }
  })

  it('a rubbing taken for its mirror image comes out turned about the witness line', () => {
    const drawn = liftCase(7, { noise: 0, mirrored: false })
    const wrong = fitted({ ...drawn, lift: { ...drawn.lift, shows: 'mirrored' } })
    const witness = (drawn.lift.witness.angleDeg * Math.PI) / 180
    for (const { pixel, theta, s } of drawn.places) {
      const at = liftedPoint(wrong, pixel)
      expect(turnsApart(at?.theta ?? 9, 2 * witness - theta)).toBeLessThan(1e-5)
      expect(at?.s).toBeCloseTo(s, 5)
    }
  })

  it('the paper’s thickness counts by half: 0.2 mm on a radius of 25 mm is 0.4 % of the angle', () => {
    const drawn = liftCase(12, { noise: 0 })
    const [thin, thick] = [0, 0.2].map((thicknessMm) => fitted({ ...drawn, lift: { ...drawn.lift, thicknessMm } }).wrapRadius)
    expect(thick - thin).toBeCloseTo(0.1, 9)
  })

  it('says what is missing, and refuses points on one line and edges that are one', () => {
    const { surface, lift } = liftCase(3)
    const reason = (part: Partial<typeof lift>) => {
      const fit = fitLift(surface, { ...lift, ...part })
      return fit.ok ? 'fitted' : fit.reason.code
    }
    expect(reason({ scalePoints: lift.scalePoints.slice(0, 3) })).toBe('few-points')
    expect(reason({ scalePoints: lift.scalePoints.map((point, i) => (i === 1 ? { ...point, yMm: null } : point)) })).toBe('few-points')
    const onALine = lift.scalePoints.map((point, i) => ({
      ...point,
      pixel: [100 * i, 50 * i] as [number, number],
      xMm: 10 * i,
      yMm: 5 * i,
    }))
    expect(reason({ scalePoints: onALine })).toBe('points-on-a-line')
    expect(reason({ rear: { at: 'tangent-line', pixels: [] } })).toBe('edges-missing')
    expect(reason({ rear: { at: 'tangent-line', pixels: lift.front.pixels } })).toBe('edges-one-line')
    expect(reason({ witness: { angleDeg: 0, pixels: [] } })).toBe('witness-missing')
    expect(fitHomography([]).ok).toBe(false)
  })

  it('a mistyped place among five points is found out, and nothing is measured before it is mended', () => {
    const drawn = liftCase(21, { points: 5 })
    const scalePoints = drawn.lift.scalePoints.map((point, i) => (i === 2 ? { ...point, xMm: (point.xMm ?? 0) + 8 } : point))
    const fit = fitted({ ...drawn, lift: { ...drawn.lift, scalePoints } })
    expect(fit.residualsWithinRange).toBe(false)
    expect(liftMark(fit, [drawn.places[0].pixel])).toEqual({ ok: false, reason: { code: 'contradicts' } })
    const worst = [...fit.residuals].sort((a, b) => b.sigmas - a.sigmas)[0]
    expect(worst.of).toBe('scale')
  })

  it('a mark becomes points of the map with the worst vertex’s sigma, the first angle within the turn, the rest running on', () => {
    const drawn = liftCase(34, { places: 6 })
    const fit = fitted(drawn)
    const mark = liftMark(
      fit,
      drawn.places.map(({ pixel }) => pixel),
    )
    if (!mark.ok) throw new Error(mark.reason.code)
    const sigmas = drawn.places.map(({ pixel }) => liftedPoint(fit, pixel)?.sigmaMm ?? 0)
    expect(mark.value.sigmaMm).toBeGreaterThanOrEqual(Math.max(...sigmas))
    expect(mark.value.sigmaMm).toBeLessThan(Math.max(...sigmas) + 0.0011)
    expect(mark.value.sigmaMm).toBeGreaterThan(drawn.lift.pickSigmaPx ? 0.02 : 0)
    expect(mark.value.points[0].angleDeg).toBeGreaterThanOrEqual(0)
    expect(mark.value.points[0].angleDeg).toBeLessThan(360)
    expect(liftNote(drawn.lift)).toBe('From a lift: tape lift l1.')
  })

  it('what lies past a tangent line is refused by vertex, end and how far: the fillet is no part of a flat lift', () => {
    const drawn = liftCase(5, { noise: 0 })
    const fit = fitted(drawn)
    const inside = drawn.places[0]
    const far = liftPixel(fit, { theta: inside.theta, s: drawn.surface.frontTangentS - 1.5 })
    const mark = liftMark(fit, [inside.pixel, [far?.u ?? 0, far?.v ?? 0]])
    expect(mark).toMatchObject({ ok: false, reason: { code: 'past-tangent-line', index: 1, end: 'front' } })
    if (!mark.ok && mark.reason.code === 'past-tangent-line') expect(mark.reason.byMm).toBeCloseTo(1.5, 3)
  })
})
