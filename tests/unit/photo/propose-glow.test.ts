/** Where fillets begin to glow, on drawn hues: steel between two ends that glow at once or little by little. */
import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../../lib/journal/surface'
import type { Journal } from '../../../lib/model/journal'
import { pixelRay } from '../../../lib/photo/camera'
import { glowAgreement, glowSlide } from '../../../lib/photo/propose-glow'
import { slidCamera } from '../../../lib/photo/propose-outline'
import { cameraOfGuess } from '../../../lib/photo/propose-pose'
import type { Patch } from '../../../lib/photo/snap-profile'
import { nearCylinderHit } from '../../../lib/photo/unproject'
import { noiseFrom } from '../../fixtures/render/noise'

const fillet = { form: 'tangent', radius: 4 } as const
const surface = surfaceOf({ diameter: 50, width: 30, fillets: { front: fillet, rear: fillet } } as Journal)
const frame = { width: 800, height: 600, k1: 0 }
const camera = cameraOfGuess({ u: 410, v: 290, along: 0.3, tilt: 0.08, distance: 160, focalPx: 900 }, surface, frame)

/** The hue of each pixel: steel between the tangent lines, then more from place to place over `softMm`, with noise. */
function drawn(softMm: number): Patch {
  const noise = noiseFrom(3)
  const grey = new Float32Array(frame.width * frame.height)
  for (let y = 0; y < frame.height; y++) {
    for (let x = 0; x < frame.width; x++) {
      const { origin, direction } = pixelRay(camera, { u: x + 0.5, v: y + 0.5 })
      const t = nearCylinderHit(origin, direction, surface.radius)
      const z = t === null ? 0 : origin[2] + t * direction[2]
      const beyond = Math.max(surface.frontTangentZ - z, z - surface.rearTangentZ)
      grey[y * frame.width + x] = -0.2 + 0.2 * Math.max(0, Math.min(1, beyond / softMm)) + 0.01 * noise.normal()
    }
  }
  return { u: 0, v: 0, scale: 1, width: frame.width, height: frame.height, grey }
}

describe.each([0.05, 1.5])('ends that begin to glow within %f mm', (softMm) => {
  const hue = drawn(softMm)

  it.each([-3, -0.8, 0, 2.2])('a journal that lies %f mm along its axis from where it is thought is found', (mm) => {
    expect(Math.abs(glowSlide(surface, slidCamera(camera, -mm), hue, 4) - mm)).toBeLessThan(0.25)
  })

  it('agrees where it lies, not 2 mm beside', () => {
    expect(glowAgreement(surface, camera, hue)).toBeGreaterThan(1.2)
    expect(glowAgreement(surface, slidCamera(camera, 2), hue)).toBeLessThan(0.8 * glowAgreement(surface, camera, hue))
  })
})
