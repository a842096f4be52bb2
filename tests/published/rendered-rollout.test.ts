import { describe, expect, it } from 'vitest'
import { readInspection } from '../../lib/journal/read-inspection'
import { surfaceOf } from '../../lib/journal/surface'
import type { Camera } from '../../lib/photo/camera'
import { fitPhoto } from '../../lib/photo/cylinder-fit'
import { type Rollout, rollout, rolloutSize } from '../../lib/rollout/rollout'
import { asRotation, randomCase, type RenderedCase } from '../fixtures/render/cases'
import type { DrawnLine } from '../fixtures/render/drawn-line'
import { type Pinhole, pinholeAt } from '../fixtures/render/pinhole'
import { renderPicture } from '../fixtures/render/picture'

const picture = { width: 1200, height: 900 }
const pxPerMm = 12

/** Grey at a place of the map (columns wrap); null where nothing is shown. */
function greyAt(map: Rollout, column: number, row: number): number | null {
  const c = Math.floor(column)
  const r = Math.floor(row)
  if (r < 0 || r + 1 >= map.height) return null
  let grey = 0
  for (const [dc, dr, weight] of [
    [0, 0, (1 - column + c) * (1 - row + r)],
    [1, 0, (column - c) * (1 - row + r)],
    [0, 1, (1 - column + c) * (row - r)],
    [1, 1, (column - c) * (row - r)],
  ]) {
    const at = 4 * ((r + dr) * map.width + ((((c + dc) % map.width) + map.width) % map.width))
    if (map.rgba[at + 3] === 0) return null
    grey += map.rgba[at] * weight
  }
  return grey
}

/** How far the dark line on the map lies off the true line, mm, at places all along it: the centre of its darkness across the line. */
function displacements(map: Rollout, radius: number, totalS: number, line: DrawnLine): number[] {
  const found: number[] = []
  for (let i = 1; i < line.vertices.length; i++) {
    const [a, b] = [line.vertices[i - 1], line.vertices[i]]
    const [dx, dy] = [radius * (b.theta - a.theta), b.s - a.s]
    const length = Math.hypot(dx, dy)
    for (let t = 0.25; t < 0.8; t += 0.1) {
      const across = Array.from({ length: 61 }, (_, k) => (k - 30) / 40)
      const profile = across.map((off) => {
        const theta = a.theta + t * (b.theta - a.theta) - (off * dy) / length / radius
        const s = a.s + t * dy + (off * dx) / length
        return greyAt(map, (theta / (2 * Math.PI)) * map.width - 0.5, (1 - s / totalS) * map.height - 0.5)
      })
      if (profile.some((grey) => grey === null)) continue
      const greys = profile as number[]
      const bare = [...greys].sort((p, q) => p - q)[45]
      const dark = greys.map((grey) => Math.max(0, bare - 12 - grey))
      const weight = dark.reduce((sum, value) => sum + value, 0)
      if (Math.max(...dark) < 25) continue
      found.push(Math.abs(dark.reduce((sum, value, k) => sum + value * across[k], 0) / weight))
    }
  }
  return found
}

const median = (values: number[]) => [...values].sort((a, b) => a - b)[values.length >> 1]
const cameraOf = (camera: Pinhole) =>
  ({ width: camera.width, height: camera.height, focalPx: camera.focalPx, k1: camera.k1, ...asRotation(camera) }) as unknown as Camera

function fittedCamera({ inspection }: RenderedCase): Camera {
  const read = readInspection(inspection)
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  const fit = fitPhoto(read.value.journals[0], read.value.photos[0], null)
  if (!fit.ok) throw new Error(JSON.stringify(fit.reason))
  return fit.value.camera
}

/** The same lens from a place turned about the shaft. */
function turnedAbout(camera: Pinhole, deg: number): Pinhole {
  const turn = (deg * Math.PI) / 180
  const [x, y, z] = camera.centre
  const centre = [x * Math.cos(turn) - y * Math.sin(turn), x * Math.sin(turn) + y * Math.cos(turn), z] as const
  return pinholeAt(camera, centre, [0, 0, z - (z - 15) * 0.9], 40)
}

describe('rollout against photographs rendered by code that shares nothing with it', () => {
  it.each([
    [20_401, 'none'],
    [20_402, 'known'],
  ] as const)(
    'case %s (distortion %s): drawn lines come out where they are, in the median within 0.1 mm by hand picks, 0.03 mm by the true camera',
    (seed, distortion) => {
      const rendered = randomCase(seed, { ...picture, noisePx: 0.3, distortion })
      const { metal, camera, lines } = rendered
      const pixels = renderPicture(metal, camera, lines, { perPixel: 2, grain: 2 })
      const surface = surfaceOf({ diameter: 2 * metal.radius, width: metal.width, fillets: { front: metal.front, rear: metal.rear } })
      const size = rolloutSize(surface, pxPerMm)
      const off = (ours: Camera) => {
        const map = rollout(surface, [{ picture: pixels, camera: ours, ignore: [] }], size)
        return map ? lines.flatMap((line) => displacements(map, metal.radius, surface.totalS, line)) : []
      }
      const byTruth = off(cameraOf(camera))
      const byFit = off(fittedCamera(rendered))
      expect(byTruth.length).toBeGreaterThan(40)
      expect(byFit.length).toBeGreaterThan(40)
      console.info(`case ${seed}: median ${median(byTruth).toFixed(4)} mm by the true camera, ${median(byFit).toFixed(4)} mm by the fit`)
      expect(median(byTruth)).toBeLessThan(0.03)
      expect(median(byFit)).toBeLessThan(0.1)
    },
    120_000,
  )

  it('two photographs blended: the line that both show is one line, in the median within 0.04 mm, and the colours follow the metal', () => {
    const { metal, camera, lines } = randomCase(20_410, { ...picture, marks: 2 })
    const other = turnedAbout(camera, 40)
    const surface = surfaceOf({ diameter: 2 * metal.radius, width: metal.width, fillets: { front: metal.front, rear: metal.rear } })
    const steel = (theta: number): [number, number, number] => [120 + 50 * Math.sin(theta), 120 + 50 * Math.cos(theta), 120]
    const views = [camera, other].map((one) => ({
      picture: renderPicture(metal, one, lines, { perPixel: 2, steel, shaded: false }),
      camera: cameraOf(one),
      ignore: [],
    }))
    const map = rollout(surface, views, rolloutSize(surface, pxPerMm), { sources: true })
    if (!map) throw new Error('no map')
    expect(median(lines.flatMap((line) => displacements(map, metal.radius, surface.totalS, line)))).toBeLessThan(0.04)
    const row = map.height >> 1
    const sources = new Set<number>()
    const errors: number[] = []
    for (let column = 0; column < map.width; column++) {
      const at = row * map.width + column
      if (map.rgba[4 * at + 3] === 0) continue
      const want = steel(((column + 0.5) / map.width) * 2 * Math.PI)
      // Lines and hole are darker than any steel here.
      if (map.rgba[4 * at + 2] < 115) continue
      sources.add(map.sources?.[at] ?? 255)
      errors.push(Math.max(...want.map((value, i) => Math.abs(map.rgba[4 * at + i] - value))))
    }
    errors.sort((a, b) => a - b)
    expect(errors[Math.floor(0.95 * errors.length)]).toBeLessThan(2.5)
    expect(errors[errors.length - 1]).toBeLessThan(12)
    expect([...sources].sort()).toEqual([0, 1])
    expect(errors.length).toBeGreaterThan(map.width * 0.4)
  }, 120_000)
})
