import { describe, expect, it } from 'vitest'
import type { Camera } from '../../../lib/photo/camera'
import { pixelRay } from '../../../lib/photo/camera'
import { outlinesOf } from '../../../lib/photo/outline'
import { exposuresOf } from '../../../lib/rollout/exposure'
import { gainsAt } from '../../../lib/rollout/gain-field'
import type { Picture } from '../../../lib/rollout/picture'
import { rollout, rolloutSize, type RolloutView } from '../../../lib/rollout/rollout'
import { benchCamera, benchSurface, radius } from './journal-on-the-bench'

const size = rolloutSize(benchSurface, 4)
const small = { width: 400, height: 300 }

/** The angle and the axial place where a pixel's ray meets the cylinder, by the quadratic of a line and a circle; null beside it. */
function onCylinder(camera: Camera, u: number, v: number): { deg: number; axial: number } | null {
  const { origin: o, direction: d } = pixelRay(camera, { u, v })
  const a = d[0] ** 2 + d[1] ** 2
  const b = o[0] * d[0] + o[1] * d[1]
  const inside = b * b - a * (o[0] ** 2 + o[1] ** 2 - radius ** 2)
  if (inside < 0) return null
  const t = (-b - Math.sqrt(inside)) / a
  const deg = (Math.atan2(o[1] + t * d[1], o[0] + t * d[0]) * 180) / Math.PI
  return { deg: deg < 0 ? deg + 360 : deg, axial: o[2] + t * d[2] }
}

/** A photograph from the given angle; `colour` of a place of the cylinder, and of how far round from the camera it lies. */
function photograph(cameraDeg: number, colour: (deg: number, axial: number, off: number) => number[]): RolloutView {
  const camera = benchCamera(cameraDeg)
  const data = new Uint8Array(small.width * small.height * 3)
  for (let y = 0, at = 0; y < small.height; y++) {
    for (let x = 0; x < small.width; x++, at += 3) {
      const place = onCylinder(camera, (x + 0.5) * 4, (y + 0.5) * 4)
      const off = place ? ((place.deg - cameraDeg + 540) % 360) - 180 : 0
      if (place)
        data.set(
          colour(place.deg, place.axial, off).map((value) => Math.max(0, Math.min(255, Math.round(value)))),
          at,
        )
    }
  }
  const picture: Picture = { ...small, channels: 3, data }
  return { picture, camera, ignore: [] }
}

/** Green along the middle row from one angle to another. */
function greens(views: RolloutView[], from: number, to: number): number[] {
  const map = rollout(benchSurface, views, size)
  const row = size.height >> 1
  const column = (deg: number) => Math.floor((deg / 360) * size.width)
  return Array.from({ length: column(to) - column(from) }, (_, i) => map?.rgba[4 * (row * size.width + column(from) + i) + 1] ?? 0)
}

const spread = (values: number[]) => Math.max(...values) - Math.min(...values)
const grey = (value: number) => [value, value, value]

describe('exposure between photographs', () => {
  it('photographs at half and twice the light come out alike where they meet', () => {
    const values = greens([photograph(80, () => grey(60)), photograph(120, () => grey(130)), photograph(160, () => grey(60))], 40, 200)
    expect(spread(values)).toBeLessThan(8)
    expect(values[0]).toBeGreaterThan(65)
    expect(values[0]).toBeLessThan(110)
    const uneven = greens([photograph(80, () => grey(60)), photograph(120, () => grey(130)), photograph(160, () => grey(90))], 40, 200)
    expect(Math.max(...uneven.slice(1).map((value, i) => Math.abs(value - uneven[i])))).toBeLessThan(3)
  })

  it('light that falls off to one side is evened out too', () => {
    const lit = (_: number, __: number, off: number) => grey(120 * Math.exp(-0.006 * off))
    const values = greens([photograph(80, lit), photograph(120, lit), photograph(160, lit)], 60, 180)
    // as they are, each photograph falls by a quarter from one camera to the next and the seam rises again
    const steps = values.slice(4).map((value, i) => Math.abs(value - values[i]))
    expect(Math.max(...steps)).toBeLessThan(4)
  })

  it('photographs that agree are left as they are', () => {
    const steel = (deg: number) => [120 + 50 * Math.sin((deg * Math.PI) / 180), 110, 100 + 40 * Math.cos((deg * Math.PI) / 180)]
    const views = [photograph(80, steel), photograph(120, steel)].map(({ camera, picture }) => ({
      camera,
      coarse: picture,
      outlines: outlinesOf([]),
    }))
    const gains = new Float64Array(3)
    for (const { even } of exposuresOf(benchSurface, views)) {
      expect(even).not.toBeNull()
      for (let deg = 40; even && deg < 160; deg += 10) {
        gainsAt(even.field, (deg * Math.PI) / 180, 20, gains)
        for (const gain of gains) expect(Math.abs(gain - 1)).toBeLessThan(0.03)
      }
    }
  })

  it('a dark place of the metal stays dark', () => {
    const stained = (deg: number, axial: number) => grey(deg > 95 && deg < 110 && axial > 10 && axial < 30 ? 70 : 140)
    const values = greens([photograph(80, stained), photograph(120, (deg, axial) => grey(0.7 * stained(deg, axial)[1]))], 70, 130)
    const [within, beside] = [values[Math.round((values.length * 32) / 60)], values[Math.round((values.length * 10) / 60)]]
    expect(within / beside).toBeGreaterThan(0.45)
    expect(within / beside).toBeLessThan(0.56)
  })

  it('a highlight that moves with the camera leaves neither a bright nor a dark patch where another photograph shows the place without it', () => {
    const shone = (_: number, __: number, off: number) => grey(130 + 125 * Math.exp(-((off / 9) ** 4)))
    const values = greens(
      [60, 90, 120, 150].map((deg) => photograph(deg, shone)),
      75,
      135,
    )
    expect(spread(values)).toBeLessThan(14)
  })

  it('ultraviolet shows only where no photograph in white light does', () => {
    const white = photograph(80, () => grey(140))
    const violet = photograph(120, () => [40, 42, 72])
    const map = rollout(benchSurface, [white, violet], size, { sources: true })
    const at = (deg: number) => (size.height >> 1) * size.width + Math.floor((deg / 360) * size.width)
    for (const deg of [60, 100, 130, 145]) {
      expect(map?.sources?.[at(deg)]).toBe(0)
      expect([...(map?.rgba.slice(4 * at(deg), 4 * at(deg) + 4) ?? [])]).toEqual([140, 140, 140, 255])
    }
    expect(map?.sources?.[at(175)]).toBe(1)
    expect([...(map?.rgba.slice(4 * at(175), 4 * at(175) + 4) ?? [])]).toEqual([40, 42, 72, 255])
  })

  it('ultraviolet photographs alone are blended with each other; a lamp that is merely warm is none', () => {
    const flags = (colours: number[][]) =>
      exposuresOf(
        benchSurface,
        colours.map((colour, i) => {
          const { camera, picture } = photograph(80 + 30 * i, () => colour)
          return { camera, coarse: picture, outlines: outlinesOf([]) }
        }),
      ).map((one) => one.ultraviolet)
    expect(
      flags([
        [40, 42, 72],
        [30, 36, 60],
      ]),
    ).toEqual([false, false])
    expect(
      flags([
        [140, 125, 95],
        [130, 130, 130],
      ]),
    ).toEqual([false, false])
    expect(
      flags([
        [140, 140, 140],
        [30, 36, 60],
        [135, 140, 138],
      ]),
    ).toEqual([false, true, false])
  })
})
