/** Handles proposed on rendered shop photographs whose cameras are known. */
import { describe, expect, it } from 'vitest'
import { ringOf, type Surface, surfaceOf, surfacePoint } from '../../../lib/journal/surface'
import type { Journal } from '../../../lib/model/journal'
import { type Photo, photoSchema } from '../../../lib/model/photo'
import { type Camera, cameraPlace, project } from '../../../lib/photo/camera'
import { proposeHandles } from '../../../lib/photo/propose'
import { asRotation } from '../../fixtures/render/cases'
import { shopSet } from '../../fixtures/render/shop-set'

function proposedFor(seed: number, id: string) {
  const set = shopSet(seed, { photos: 3, closeUps: 0, ultraviolet: 1, scale: 0.5 })
  const truth = set.truth.photos[id]
  const bare = set.inspection.journals[0]
  const journal: Journal = {
    ...bare,
    oilHoles: bare.oilHoles.map((hole) => ({ ...hole, tiltDeg: 0 })),
    coating: { kind: 'unknown', perSide: null },
    overheated: false,
  }
  const { width, height, focalPx, k1 } = truth.camera
  const photo: Photo = photoSchema.parse({ id, journalId: 'J1', width, height, focalPx: null, k1: null })
  const camera: Camera = { width, height, focalPx, k1, ...turned(asRotation(truth.camera)) }
  const { handles, trust } = proposeHandles(journal, photo, { focal35Mm: truth.exifF35, focalMm: null }, set.picture(id))
  return { handles, trust, camera, surface: surfaceOf(journal), width }
}

function turned({ rotation, translation }: ReturnType<typeof asRotation>) {
  return { rotation: rotation as unknown as Camera['rotation'], translation: translation as unknown as Camera['translation'] }
}

/** Distance in px of a handle from the nearest of many places on the true curves. */
function off([u, v]: readonly [number, number], curve: ({ u: number; v: number } | null)[]): number {
  return Math.min(...curve.map((at) => (at ? Math.hypot(at.u - u, at.v - v) : Number.POSITIVE_INFINITY)))
}

function trueSides(surface: Surface, camera: Camera) {
  const [x, y] = cameraPlace(camera)
  const half = Math.acos(surface.radius / Math.hypot(x, y))
  return [-1, 1].flatMap((hand) =>
    Array.from({ length: 1500 }, (_, i) =>
      project(camera, surfacePoint(surface, { theta: Math.atan2(y, x) + hand * half, s: (surface.totalS * i) / 1500 })),
    ),
  )
}

/** Both tangent lines: one picture may not tell which end is the front. */
function trueRings(surface: Surface, camera: Camera) {
  return (['front-fillet', 'rear-fillet'] as const).flatMap((at) => {
    const { radius, axial } = ringOf(surface, at)
    return Array.from({ length: 3000 }, (_, i) =>
      project(camera, [radius * Math.cos((i / 1500) * Math.PI), radius * Math.sin((i / 1500) * Math.PI), axial]),
    )
  })
}

// a photograph is rendered for each: longer than usual on a busy machine
describe('handles proposed on a shop’s photograph', { timeout: 90_000 }, () => {
  it.each([
    [5, 'ph3'],
    [5, 'uv1'],
  ])('set %i, %s: both sides and a ring, half of them within 2 per mille of the picture’s width of the true curves', (seed, id) => {
    const { handles, trust, camera, surface, width } = proposedFor(seed, id)
    expect(handles.sides[0].length + handles.sides[1].length).toBeGreaterThanOrEqual(6)
    expect(handles.rings.length).toBeGreaterThan(0)
    const distances = [
      ...handles.sides.flat().map((point) => off(point, trueSides(surface, camera))),
      ...handles.rings.flatMap(({ points }) => points).map((point) => off(point, trueRings(surface, camera))),
    ].sort((a, b) => a - b)
    expect(distances[distances.length >> 1] / width).toBeLessThan(0.002)
    // half the size of a photograph: less sure than at full size
    expect(trust).toBeGreaterThan(0.2)
  })

  it('a picture of nothing gives no trusted proposal', () => {
    const data = new Uint8Array(600 * 450 * 3).fill(120)
    const journal = {
      id: 'J1',
      kind: 'pin',
      diameter: 57,
      width: 30,
      fillets: { front: { form: 'step' }, rear: { form: 'step' } },
      oilHoles: [],
      coating: { kind: 'unknown', perSide: null },
      overheated: false,
    } as Journal
    const photo = photoSchema.parse({ id: 'p', journalId: 'J1', width: 600, height: 450 })
    expect(proposeHandles(journal, photo, null, { width: 600, height: 450, channels: 3, data }).trust).toBeLessThan(0.5)
  })
})
