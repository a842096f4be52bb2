import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../../lib/journal/surface'
import { plainKernel } from '../../../lib/rollout/plain-kernel'
import { type Rollout, rollout as rolledOut, rolloutSize, type RolloutView } from '../../../lib/rollout/rollout'
import { simdKernel } from '../../../lib/rollout/simd-kernel'
import {
  benchCamera,
  blendedAsTheyAre,
  benchSurface,
  brightCentre,
  dottedPicture,
  plainPicture,
  radius,
  width,
} from './journal-on-the-bench'

const pxPerMm = 10
const size = rolloutSize(benchSurface, pxPerMm)
const alphaAt = (map: { width: number; rgba: Uint8ClampedArray }, column: number, row: number) =>
  map.rgba[4 * (row * map.width + column) + 3]
const columnOf = (angleDeg: number) => Math.floor((((angleDeg % 360) + 360) % 360) * (size.width / 360))

/** Pixel of a place by the elementary pinhole formula for `benchCamera`, which looks along (-c, -s, 0) from 300 mm. */
function pixelByHand(cameraDeg: number, thetaDeg: number, axial: number, k1 = 0) {
  const off = ((thetaDeg - cameraDeg) * Math.PI) / 180
  const depth = 300 - radius * Math.cos(off)
  const x = (axial - width / 2) / depth
  const y = (radius * Math.sin(off)) / depth
  const k = 3000 * (1 + k1 * (x * x + y * y))
  return { u: 800 + k * x, v: 600 + k * y }
}

/** Where the map ought to show a place on the cylinder: two tangent ends of 3 mm, so s = 3 pi / 2 + axial - 3. */
const mapPlace = (thetaDeg: number, axial: number) => {
  const s = (3 * Math.PI) / 2 + axial - 3
  const total = width - 6 + 3 * Math.PI
  return { column: ((((thetaDeg % 360) + 360) % 360) / 360) * size.width, row: (1 - s / total) * size.height }
}

const simd = await simdKernel()
if (!simd) throw new Error('WebAssembly has no SIMD here')

describe.each([
  ['plain', plainKernel],
  ['SIMD', simd],
] as const)('rollout, %s', (_, kernel) => {
  const rollout = (...[surface, views, mapSize, options]: Parameters<typeof rolledOut>): Rollout =>
    rolledOut(surface, views, mapSize, { kernel, ...options })

  it('is round(2 pi R N) wide and round(S N) high', () => {
    expect(size).toEqual({ width: Math.round(2 * Math.PI * 30 * 10), height: Math.round((40 - 6 + 3 * Math.PI) * 10) })
  })

  it.each([0, 0.3, -0.3])('puts a dot where it lies on the metal, to a fifth of a map pixel, with k1 = %s', (k1) => {
    const places = [
      [200, 10],
      [170, 20],
      [215, 30],
      [160, 33],
    ]
    const camera = benchCamera(190, { k1 })
    const picture = dottedPicture(places.map(([theta, axial]) => pixelByHand(190, theta, axial, k1)))
    const map = rollout(benchSurface, [{ picture, camera, ignore: [] }], size)
    for (const [theta, axial] of places) {
      const want = mapPlace(theta, axial)
      const found = map && brightCentre(map, (c, r) => Math.hypot(c - want.column, r - want.row) < 12)
      expect(found).not.toBeNull()
      expect(Math.abs((found?.column ?? 0) - want.column)).toBeLessThan(0.2)
      expect(Math.abs((found?.row ?? 0) - want.row)).toBeLessThan(0.2)
    }
  })

  it('is never mirrored: a right-hand helix leans like / with the rear on top', () => {
    // Right-hand: the angle grows towards the rear.
    const camera = benchCamera(90)
    const picture = dottedPicture([pixelByHand(90, 75, 8), pixelByHand(90, 105, 32)])
    const map = rollout(benchSurface, [{ picture, camera, ignore: [] }], size)
    const left = map && brightCentre(map, (c) => c < columnOf(90))
    const right = map && brightCentre(map, (c) => c >= columnOf(90))
    expect(left && right).toBeTruthy()
    expect(right?.row).toBeLessThan(left?.row ?? 0)
  })

  it('runs through the seam: a photograph at angle 0 fills both ends of the map', () => {
    const seam = rollout(benchSurface, [{ picture: plainPicture([90, 60, 30]), camera: benchCamera(0), ignore: [] }], size)
    const row = size.height >> 1
    for (const column of [0, 1, 20, size.width - 20, size.width - 1]) {
      expect([...(seam?.rgba.slice(4 * (row * size.width + column), 4 * (row * size.width + column) + 4) ?? [])]).toEqual([90, 60, 30, 255])
    }
    expect(seam && alphaAt(seam, size.width >> 1, row)).toBe(0)
  })

  it('a place at the seam comes out at the seam', () => {
    const picture = dottedPicture([pixelByHand(0, 0, 20)])
    const map = rollout(benchSurface, [{ picture, camera: benchCamera(0), ignore: [] }], size)
    const red = (column: number) => map?.rgba[4 * (Math.floor(mapPlace(0, 20).row) * size.width + column)] ?? 0
    expect(red(0)).toBeGreaterThan(200)
    expect(red(size.width - 1)).toBeGreaterThan(200)
  })

  it('covers up to 80 degrees from the normal and no further', () => {
    const map = rollout(benchSurface, [{ picture: plainPicture([1, 2, 3]), camera: benchCamera(120), ignore: [] }], size)
    const row = size.height >> 1
    // Sine rule in the triangle axis, point, camera: the view meets the normal at delta + atan(R sin delta / (d - R cos delta)).
    const incidence = (delta: number) =>
      delta + (Math.atan2(30 * Math.sin((delta * Math.PI) / 180), 300 - 30 * Math.cos((delta * Math.PI) / 180)) * 180) / Math.PI
    for (const delta of [60, 70, 73, 76, 80]) {
      for (const side of [-1, 1]) expect(map && alphaAt(map, columnOf(120 + side * delta), row)).toBe(incidence(delta) < 80 ? 255 : 0)
    }
  })

  it('is empty where the picture ends and inside an outline left out, and full a pixel beside it', () => {
    const camera = benchCamera(90)
    const edge = pixelByHand(90, 90, 20).u
    const ignore: [number, number][][] = [
      [
        [edge, 500],
        [1600, 500],
        [1600, 700],
        [edge, 700],
      ],
    ]
    const map = rollout(benchSurface, [{ picture: plainPicture([9, 9, 9]), camera, ignore }], size)
    const at = mapPlace(90, 20)
    expect(map && alphaAt(map, Math.floor(at.column), Math.floor(at.row) - 2)).toBe(0)
    expect(map && alphaAt(map, Math.floor(at.column), Math.floor(at.row) + 2)).toBe(255)
    // Shifted 80 mm along: u = 800 + 3000 (axial + 60) / 270 reaches the picture's edge at axial 12.
    const shifted = benchCamera(90, { translation: [60, 0, 300] })
    const cut = rollout(benchSurface, [{ picture: plainPicture([9, 9, 9]), camera: shifted, ignore: [] }], size)
    const beyond = mapPlace(90, 12.4)
    expect(cut && alphaAt(cut, Math.floor(beyond.column), Math.floor(beyond.row))).toBe(0)
    expect(cut && alphaAt(cut, Math.floor(beyond.column), Math.floor(beyond.row) + 8)).toBe(255)
  })

  it('blends two photographs without a seam: no step between neighbouring columns', () => {
    const views: RolloutView[] = [
      { picture: plainPicture([140, 120, 100]), camera: benchCamera(80), ignore: [] },
      { picture: plainPicture([100, 120, 140]), camera: benchCamera(130), ignore: [] },
    ]
    const map = blendedAsTheyAre(views, size, kernel)
    const row = size.height >> 1
    let steepest = 0
    for (let column = columnOf(20); column < columnOf(190); column++) {
      if (!map || alphaAt(map, column, row) === 0 || alphaAt(map, column + 1, row) === 0) continue
      const red = (c: number) => map.rgba[4 * (row * size.width + c)]
      steepest = Math.max(steepest, Math.abs(red(column + 1) - red(column)))
    }
    expect(steepest).toBeGreaterThan(0)
    expect(steepest).toBeLessThan(2)
    expect(map?.sources?.[row * size.width + columnOf(80)]).toBe(0)
    expect(map?.sources?.[row * size.width + columnOf(130)]).toBe(1)
    expect(map?.sources?.[row * size.width + columnOf(300)]).toBe(255)
    // Half way between two equal cameras both weigh the same.
    expect(Math.abs((map?.rgba[4 * (row * size.width + columnOf(105))] ?? 0) - 120)).toBeLessThan(2)
  })

  it('prefers the nearer, sharper photograph', () => {
    const near = benchCamera(90, { translation: [-width / 2, 0, 200] })
    const views: RolloutView[] = [
      { picture: plainPicture([200, 0, 0]), camera: near, ignore: [] },
      { picture: plainPicture([0, 0, 200]), camera: benchCamera(90), ignore: [] },
    ]
    const map = blendedAsTheyAre(views, size, kernel)
    const at = 4 * ((size.height >> 1) * size.width + columnOf(90))
    expect(map.rgba[at]).toBeGreaterThan(160)
  })

  it('takes a place that glares in one photograph from one that shows it without, and keeps the glare where there is no other', () => {
    const glaring = plainPicture([120, 0, 0])
    for (let y = 540; y < 660; y++) glaring.data.fill(255, 3 * (y * 1600 + 600), 3 * (y * 1600 + 1000))
    const lit: RolloutView = { picture: glaring, camera: benchCamera(90), ignore: [] }
    const oblique: RolloutView = { picture: plainPicture([0, 0, 120]), camera: benchCamera(130), ignore: [] }
    const at = 4 * ((size.height >> 1) * size.width + columnOf(90))
    expect([...(rollout(benchSurface, [lit], size)?.rgba.slice(at, at + 4) ?? [])]).toEqual([255, 255, 255, 255])
    const both = blendedAsTheyAre([lit, oblique], size, kernel).rgba
    expect(both?.[at]).toBeLessThan(20)
    expect(both?.[at + 2]).toBeGreaterThan(110)
    const [u, v] = [columnOf(70), size.height >> 1]
    expect(both?.[4 * (v * size.width + u)]).toBeGreaterThan(100)
  })

  it('averages where the photograph is finer than the map: a fine checker comes out grey', () => {
    const checker = plainPicture([0, 0, 0])
    for (let y = 0; y < 1200; y++)
      for (let x = 0; x < 1600; x++) if ((x + y) % 2 === 0) checker.data.fill(255, 3 * (y * 1600 + x), 3 * (y * 1600 + x) + 3)
    const small = rolloutSize(benchSurface, 2)
    const map = rollout(benchSurface, [{ picture: checker, camera: benchCamera(90), ignore: [] }], small)
    const middle = Math.floor(small.width / 4)
    for (let row = 20; row < 60; row++) {
      for (let column = middle - 20; column < middle + 20; column++) {
        const grey = map?.rgba[4 * (row * small.width + column)] ?? 0
        expect(Math.abs(grey - 127.5)).toBeLessThan(16)
      }
    }
  })

  it('takes a smaller preview with the camera of the full photograph', () => {
    const dot = pixelByHand(90, 100, 25)
    const preview = dottedPicture([{ u: dot.u / 2, v: dot.v / 2 }], { width: 800, height: 600 })
    const map = rollout(benchSurface, [{ picture: preview, camera: benchCamera(90), ignore: [] }], size)
    const found = map && brightCentre(map, () => true)
    const want = mapPlace(100, 25)
    expect(Math.hypot((found?.column ?? 0) - want.column, (found?.row ?? 0) - want.row)).toBeLessThan(0.4)
  })

  it('shows nothing of what the fold of a strong negative k1 would bring back into the picture', () => {
    const camera = benchCamera(90, { k1: -30, focalPx: 1500 })
    const map = rollout(benchSurface, [{ picture: plainPicture([5, 5, 5]), camera, ignore: [] }], size)
    // x (1 + k1 x^2) turns at x = 1 / sqrt(90) = 0.105: 30 degrees off is at y = 15 / 274 = 0.055, the cheek end at 20 / 270 = 0.074; 65 off at 0.095 and 0.066 along.
    expect(map && alphaAt(map, columnOf(95), size.height >> 1)).toBe(255)
    const corner = mapPlace(90 + 65, width - 4)
    expect(map && alphaAt(map, Math.floor(corner.column), Math.floor(corner.row))).toBe(0)
  })

  it('serves undercut and step ends', () => {
    const surface = surfaceOf({ diameter: 60, width: 40, fillets: { front: { form: 'undercut', width: 3 }, rear: { form: 'step' } } })
    const plain = rolloutSize(surface, 5)
    expect(plain.height).toBe(200)
    const map = rollout(surface, [{ picture: plainPicture([7, 7, 7]), camera: benchCamera(90), ignore: [] }], plain)
    for (const row of [0, 100, 199]) expect(map && alphaAt(map, Math.floor(plain.width / 4), row)).toBe(255)
  })

  it('refuses a picture whose bytes do not make up its size', () => {
    const picture = { width: 10, height: 10, channels: 3 as const, data: new Uint8Array(10) }
    expect(() => rollout(benchSurface, [{ picture, camera: benchCamera(0), ignore: [] }], size)).toThrow(/holds 10 bytes/)
  })
})
