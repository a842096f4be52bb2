/**
 * The shop's photographs against closed forms: what is drawn where the truth says. The camera's pixels come from the pinhole model with one
 * radial term (Brown 1971), the ray through a pixel from its inverse; neither knows the other.
 */
import { describe, expect, it } from 'vitest'
import { pixelOf } from '../fixtures/render/pinhole'
import { shopSight } from '../fixtures/render/shop-picks'
import { rayThrough } from '../fixtures/render/shop-picture'
import { shopSet } from '../fixtures/render/shop-set'
import { depthWithin, meet, noMeeting } from '../fixtures/render/shop-solids'

const set = shopSet(40, { photos: 3, closeUps: 1, ultraviolet: 3, scale: 0.25 })

describe("a shop's rendered photographs", () => {
  it('have rays that meet the metal on its own surface, and pixels that look back at it', () => {
    const { scene } = set
    let met = 0
    for (const { view } of set.photos) {
      const { camera } = view
      const through = rayThrough(camera)
      const d: [number, number, number] = [0, 0, 0]
      const meeting = noMeeting()
      const all = scene.solids.map((_, i) => i)
      for (let v = 5; v < camera.height; v += 23) {
        for (let u = 5; u < camera.width; u += 23) {
          through(u, v, d)
          meet(scene.pin, scene.solids, all, camera.centre, d, meeting)
          if (meeting.part === 'none') continue
          const place = [0, 1, 2].map((i) => camera.centre[i] + meeting.distance * d[i]) as [number, number, number]
          const back = pixelOf(camera, place) as [number, number]
          expect(Math.hypot(back[0] - u, back[1] - v)).toBeLessThan(0.02)
          expect(meeting.nx * d[0] + meeting.ny * d[1] + meeting.nz * d[2]).toBeLessThan(1e-6)
          if (meeting.solid >= 0 && !meeting.face)
            expect(Math.abs(depthWithin(scene.solids[meeting.solid], place[0], place[1]))).toBeLessThan(1e-6)
          met++
        }
      }
    }
    expect(met).toBeGreaterThan(500)
  })

  it('show the bore of the oil hole darker than the steel beside it', () => {
    const { scene } = set
    const close = set.photos.find((photo) => photo.close)
    if (!close) throw new Error('the set has a close-up')
    const picture = set.picture(close.id)
    const grey = (theta: number, s: number) => {
      const at = shopSight(scene, close, theta, s)
      return at ? picture.data[3 * (Math.floor(at[1]) * picture.width + Math.floor(at[0])) + 1] : null
    }
    const theta = (scene.hole.angleDeg * Math.PI) / 180
    const bore = grey(theta, scene.hole.s) as number
    const beside = grey(theta + (0.7 * scene.hole.mouthAround) / scene.pin.radius, scene.hole.s) as number
    expect(bore).toBeLessThan(0.5 * beside)
  })

  it('let particles glow under ultraviolet on every crack that is seen, not 1.5 mm beside it', () => {
    const { scene, photos } = set
    const dark = photos.filter(({ view }) => view.light.kind === 'ultraviolet')
    let compared = 0
    for (const photo of dark) {
      const picture = set.picture(photo.id)
      const green = (u: number, s: number) => {
        const at = shopSight(scene, photo, (u / scene.girth) * 2 * Math.PI, s, 60)
        return at ? picture.data[3 * (Math.floor(at[1]) * picture.width + Math.floor(at[0])) + 1] : null
      }
      for (const { kind, lines } of scene.curves) {
        if (kind !== 'crack') continue
        const pairs = lines[0].map(([u, s], i) => {
          const [du, ds] = i > 0 ? [u - lines[0][i - 1][0], s - lines[0][i - 1][1]] : [1, 0]
          const long = Math.hypot(du, ds)
          return [green(u, s), green(u - (1.5 * ds) / long, s + (1.5 * du) / long)]
        })
        const both = pairs.filter((pair): pair is [number, number] => pair[0] !== null && pair[1] !== null)
        if (both.length < 12) continue
        compared++
        const mean = (side: 0 | 1) => both.reduce((sum, pair) => sum + pair[side], 0) / both.length
        expect(mean(0)).toBeGreaterThan(mean(1) + 12)
      }
    }
    expect(compared).toBeGreaterThan(0)
  })
})
