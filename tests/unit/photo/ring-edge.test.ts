/** Under ultraviolet a fillet's glow begins along its tangent line: the shape of that edge counts beside a person's picks, never against them. */
import { describe, expect, it } from 'vitest'
import { surfaceOf, surfacePoint } from '../../../lib/journal/surface'
import { type Camera, project } from '../../../lib/photo/camera'
import { baseOf, stateAt, unknownCount, unknownIndex } from '../../../lib/photo/fit-state'
import type { Observation } from '../../../lib/photo/observation'
import { ringEdges } from '../../../lib/photo/ring-edge'
import { pixelToMap } from '../../../lib/photo/unproject'
import { noiseFrom } from '../../fixtures/render/noise'

const fillet = { form: 'tangent', radius: 3 } as const
const surface = surfaceOf({ diameter: 50, width: 30, fillets: { front: fillet, rear: fillet } })
/** Square to the shaft from 120 mm, the axis across the picture. */
const camera: Camera = {
  width: 600,
  height: 500,
  focalPx: 700,
  k1: 0,
  rotation: [0, 0, 1, 0, -1, 0, 1, 0, 0],
  translation: [-15, 0, 120],
}
/** Where the fillets glow, `offMm` beyond the tangent line, or nowhere. */
function picture(offMm: number, glow = 40) {
  const noise = noiseFrom(3)
  const data = new Uint8Array(camera.width * camera.height * 3)
  for (let v = 0; v < camera.height; v++) {
    for (let u = 0; u < camera.width; u++) {
      const seen = pixelToMap(surface, camera, { u: u + 0.5, v: v + 0.5 })
      const beyond = seen.ok ? Math.max(surface.frontTangentS - offMm - seen.value.s, seen.value.s - surface.rearTangentS - offMm) : -1
      const lit = glow * Math.max(0, Math.min(1, beyond / 0.2))
      for (const [c, value] of [20, 40 + lit, 70].entries()) data[3 * (v * camera.width + u) + c] = value + 4 * noise.normal()
    }
  }
  return { width: camera.width, height: camera.height, channels: 3 as const, data }
}

const picks = (shiftPx: number): Observation[] =>
  (['front-fillet', 'rear-fillet'] as const).flatMap((at, ring) =>
    [-0.9, -0.4, 0, 0.4, 0.9].map((turn, index): Observation => {
      const facing = Math.PI
      const s = at === 'front-fillet' ? surface.frontTangentS : surface.rearTangentS
      const seen = project(camera, surfacePoint(surface, { theta: facing + turn, s }))
      if (!seen) throw new Error('a pick lies behind the camera')
      return { type: 'circle', at, handle: { kind: 'ring', ring, at, index }, u: seen.u + shiftPx, v: seen.v }
    }),
  )

const fit = { camera, surface, contourSigns: [1, -1] as const, pickSigmaPx: 1 }
const stateOf = (unknown: keyof typeof unknownIndex, value: number) => {
  const unknowns = new Float64Array(unknownCount)
  unknowns[unknownIndex[unknown]] = value
  return stateAt(baseOf(camera, surface), unknowns)
}
const costOf = (priors: ReturnType<typeof ringEdges>, state: ReturnType<typeof stateOf>) =>
  priors.reduce((sum, prior) => sum + prior.evaluate(state).residual ** 2, 0)

describe('the edge of a fillet that glows', () => {
  const priors = ringEdges(picture(0), fit, picks(0))

  it('is measured around both rings and agrees with the true camera', () => {
    expect(priors.length).toBeGreaterThanOrEqual(14)
    expect(costOf(priors, stateOf('roll', 0))).toBeLessThan(2 * priors.length)
  })

  it('tells a tilt of the axis, but not where along it the glow begins', () => {
    const least = costOf(priors, stateOf('roll', 0))
    expect(costOf(priors, stateOf('slide', 0.3))).toBeLessThan(least + 4)
    expect(costOf(priors, stateOf('tiltY', 0.02)) + costOf(priors, stateOf('tiltX', 0.02))).toBeGreaterThan(2 * least + 40)
  })

  it('has the derivatives that its residuals have', () => {
    const [prior] = priors
    const { row } = prior.evaluate(stateOf('tiltX', 0))
    const step = 1e-6
    const slope = (prior.evaluate(stateOf('tiltX', step)).residual - prior.evaluate(stateOf('tiltX', -step)).residual) / (2 * step)
    expect(row[unknownIndex.tiltX]).toBeCloseTo(slope, 1)
  })

  it('counts for nothing where it contradicts the picks, or where nothing glows', () => {
    expect(ringEdges(picture(0), fit, picks(5))).toEqual([])
    expect(ringEdges(picture(0, 0), fit, picks(0))).toEqual([])
    expect(ringEdges(picture(0.6), fit, picks(0))).toEqual([])
  })
})
