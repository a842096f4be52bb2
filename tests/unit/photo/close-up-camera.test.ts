import { describe, expect, it } from 'vitest'
import { surfaceOf, surfacePoint } from '../../../lib/journal/surface'
import { project } from '../../../lib/photo/camera'
import { closeUpCamera } from '../../../lib/photo/close-up-camera'
import { photoPxPerMm } from '../../../lib/photo/close-up-strip'

const surface = surfaceOf({ diameter: 60, width: 40, fillets: { front: { form: 'tangent', radius: 3 }, rear: { form: 'step' } } })
const lens = { width: 1200, height: 900, focalPx: 2000, k1: 0.04 }
const pose = { theta: 1.1, s: 20, pxPerMm: 40, right: 0, leanAround: 0, leanAlong: 0 }
const seen = (camera: ReturnType<typeof closeUpCamera>, theta: number, s: number) => {
  const at = project(camera, surfacePoint(surface, { theta, s }))
  if (!at) throw new Error('behind the camera')
  return [at.u - 600, at.v - 450]
}

describe('a camera before a place of the journal', () => {
  it('has the place in the middle of the picture, at the scale asked for', () => {
    const camera = closeUpCamera(surface, pose, lens)
    expect(seen(camera, 1.1, 20)).toEqual([expect.closeTo(0, 9), expect.closeTo(0, 9)])
    expect(photoPxPerMm(surface, camera)).toBeCloseTo(40, 9)
    expect(seen(camera, 1.1, 20.01)[0]).toBeCloseTo(0.4, 4)
  })

  it('sees the surface from outside, not mirrored: with the front at the left the angle grows downward', () => {
    const camera = closeUpCamera(surface, pose, lens)
    const [right] = seen(camera, 1.1, 24)
    const [, down] = seen(camera, 1.15, 20)
    expect(right).toBeGreaterThan(100)
    expect(down).toBeGreaterThan(40)
  })

  it('turned by a quarter the angle grows to the right and the rear is up', () => {
    const camera = closeUpCamera(surface, { ...pose, right: Math.PI / 2 }, lens)
    expect(seen(camera, 1.15, 20)[0]).toBeGreaterThan(40)
    expect(seen(camera, 1.1, 24)[1]).toBeLessThan(-100)
  })

  it('leans: what lies on the camera’s side is seen larger', () => {
    const camera = closeUpCamera(surface, { ...pose, leanAlong: 0.5 }, lens)
    const towards = Math.hypot(...seen(camera, 1.1, 25))
    const away = Math.hypot(...seen(camera, 1.1, 15))
    expect(towards).toBeGreaterThan(away * 1.05)
  })
})
