/** A held ring handle in white light, on a rendered shop photograph whose camera is known: the renderer knows nothing of outlines. */
import { describe, expect, it } from 'vitest'
import { ringOf, type Surface, surfaceOf } from '../../../lib/journal/surface'
import type { Camera, PhotoPoint } from '../../../lib/photo/camera'
import { cameraPlace, project } from '../../../lib/photo/camera'
import { type ColourGrid, colourGrid, slidCamera } from '../../../lib/photo/propose-outline'
import { cameraOfGuess, guessOfCamera } from '../../../lib/photo/propose-pose'
import { shrunkPlanes } from '../../../lib/photo/propose-planes'
import { nearestOnRing, outlinedCamera } from '../../../lib/photo/snap-ring'
import { asRotation } from '../../fixtures/render/cases'
import { noiseFrom } from '../../fixtures/render/noise'
import { shopSet } from '../../fixtures/render/shop-set'

function photographed(): { surface: Surface; camera: Camera; grid: ColourGrid } {
  const set = shopSet(5, { photos: 3, closeUps: 0, ultraviolet: 0, scale: 0.5 })
  const truth = set.truth.photos.ph3.camera
  const { rotation, translation } = asRotation(truth)
  const camera: Camera = {
    width: truth.width,
    height: truth.height,
    focalPx: truth.focalPx,
    k1: truth.k1,
    rotation: rotation as unknown as Camera['rotation'],
    translation: translation as unknown as Camera['translation'],
  }
  return { surface: surfaceOf(set.inspection.journals[0]), camera, grid: colourGrid(shrunkPlanes(set.picture('ph3'), 1200)) }
}

/** A fit that does not tell the tangent lines well, mm. */
const unsure = 1

/** A place on the true tangent line, so many radians from where it faces the camera. */
function onRing(surface: Surface, camera: Camera, ring: 'front-fillet' | 'rear-fillet', turn: number): PhotoPoint {
  const [x, y] = cameraPlace(camera)
  const { radius, axial } = ringOf(surface, ring)
  const theta = Math.atan2(y, x) + turn
  const seen = project(camera, [radius * Math.cos(theta), radius * Math.sin(theta), axial])
  if (!seen) throw new Error('behind the camera')
  return seen
}

// a photograph is rendered: longer than usual on a busy machine
describe('a held ring handle in white light', { timeout: 90_000 }, () => {
  const { surface, camera, grid } = photographed()
  const alongAxis = (ring: 'front-fillet' | 'rear-fillet', mm: number) => onRing(surface, slidCamera(camera, mm), ring, 0.2)

  it.each(['front-fillet', 'rear-fillet'] as const)(
    '%s: catches the tangent line from 0.7 mm beside it, the fit being 0.5 mm off',
    (ring) => {
      const found = outlinedCamera(surface, slidCamera(camera, -0.5), unsure, grid, ring, alongAxis(ring, 0.7))
      if (!found) throw new Error('nothing caught')
      for (const turn of [-0.7, 0, 0.7]) {
        const true_ = onRing(surface, camera, ring, turn)
        const caught = nearestOnRing(surface, found, ring, true_, 10)
        if (!caught) throw new Error('nothing within reach')
        // one px here is a tenth of a millimetre and two px of a picture 2400 px wide
        expect(Math.hypot(caught.u - true_.u, caught.v - true_.v)).toBeLessThan(1)
      }
    },
  )

  it('a fit that knows its tilt keeps it: the same place is caught from a pose that is right but for its place along the axis', () => {
    const found = outlinedCamera(surface, slidCamera(camera, -0.5), 0.04, grid, 'front-fillet', alongAxis('front-fillet', 0.7))
    if (!found) throw new Error('nothing caught')
    const place = onRing(surface, camera, 'front-fillet', 0)
    const caught = nearestOnRing(surface, found, 'front-fillet', place, 10)
    expect(caught && Math.hypot(caught.u - place.u, caught.v - place.v)).toBeLessThan(1)
    const tilt = (one: Camera) => Math.asin(one.rotation[8])
    expect(Math.abs(tilt(found) - tilt(camera))).toBeLessThan((0.6 * Math.PI) / 180)
  })

  it('beyond its reach nothing is caught', () => {
    expect(nearestOnRing(surface, camera, 'front-fillet', alongAxis('front-fillet', 1.5), 3)).toBeNull()
  })

  it('a point beside the journal catches nothing', () => {
    expect(outlinedCamera(surface, camera, unsure, grid, 'front-fillet', { u: 5, v: 5 })).toBeNull()
  })

  it('on a picture without a journal nothing is caught', () => {
    const noise = noiseFrom(3)
    const plain = { ...grid, colours: grid.colours.map(() => 120 + 3 * noise.normal()) }
    expect(outlinedCamera(surface, camera, unsure, plain, 'front-fillet', alongAxis('front-fillet', 0.3))).toBeNull()
  })

  it('a pose says the same as the camera it was made from', () => {
    const guess = guessOfCamera(camera, surface)
    if (!guess) throw new Error('behind the camera')
    const back = cameraOfGuess(guess, surface, { ...camera, k1: camera.k1 })
    for (const z of [0, surface.width]) {
      const [one, other] = [project(camera, [0, 0, z]), project(back, [0, 0, z])]
      expect(other?.u).toBeCloseTo(one?.u ?? 0, 6)
      expect(other?.v).toBeCloseTo(one?.v ?? 0, 6)
    }
  })
})
