import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../../lib/journal/surface'
import type { Camera } from '../../../lib/photo/camera'
import { coverageOf } from '../../../lib/photo/coverage'

const surface = surfaceOf({
  diameter: 60,
  width: 40,
  fillets: { front: { form: 'tangent', radius: 3 }, rear: { form: 'tangent', radius: 3 } },
})
const hole = { id: 'h1', angleDeg: 90, axial: 20, mouthAround: 8, mouthAlong: 10, tiltDeg: 0 }

/** Stands at an angle of the journal, 300 mm off the axis over axial `over`, and looks straight at the axis. */
function cameraAt(angleDeg: number, more: Partial<Camera> = {}, distance = 300, over = 20): Camera {
  const c = Math.cos((angleDeg * Math.PI) / 180)
  const s = Math.sin((angleDeg * Math.PI) / 180)
  const translation = [-over, 0, distance] as const
  return { width: 4000, height: 3000, focalPx: 3000, k1: 0, rotation: [0, 0, 1, -s, c, 0, -c, -s, 0], translation, ...more }
}

/** Half the angle around the journal within 65 degrees of the normal, at the camera's own place along the axis: sine rule. */
const halfAngleDeg = 65 - (Math.asin((30 / 300) * Math.sin((65 * Math.PI) / 180)) * 180) / Math.PI

describe('coverage', () => {
  it('one photograph square on shows two times the half angle of 65 degrees incidence, a little less towards the ends', () => {
    const { coverage } = coverageOf(surface, [hole], [{ camera: cameraAt(90), ignore: [] }])
    expect(coverage.cylinder).toBeLessThanOrEqual((2 * halfAngleDeg) / 360 + 0.002)
    expect(coverage.cylinder).toBeGreaterThan((2 * halfAngleDeg) / 360 - 0.006)
    expect(coverage.holeRims).toBe(1)
  })

  it('without photographs everything reads 0, without a hole the rims read null, at a step the fillet reads null', () => {
    const step = surfaceOf({ diameter: 60, width: 40, fillets: { front: { form: 'step' }, rear: { form: 'undercut', width: 3 } } })
    expect(coverageOf(step, [], []).coverage).toEqual({ cylinder: 0, frontFillet: null, rearFillet: 0, holeRims: null })
  })

  it('counts places that two photographs show once, and adds the others', () => {
    const one = coverageOf(surface, [], [{ camera: cameraAt(90), ignore: [] }]).coverage.cylinder
    const twice = [90, 90].map((angle) => ({ camera: cameraAt(angle), ignore: [] }))
    const opposite = [90, 270].map((angle) => ({ camera: cameraAt(angle), ignore: [] }))
    expect(coverageOf(surface, [], twice).coverage.cylinder).toBe(one)
    expect(coverageOf(surface, [], opposite).coverage.cylinder).toBeCloseTo(2 * one, 2)
  })

  it('6 px per mm is enough and a hair less is not', () => {
    // 3000 px / 500 mm: the nearest generator, 470 mm off, has 6.38 px per mm, at 65 degrees incidence it has less than 6.2 and more than 6.
    const enough = coverageOf(surface, [], [{ camera: cameraAt(90, { focalPx: 3000 }, 500), ignore: [] }]).coverage.cylinder
    const none = coverageOf(surface, [], [{ camera: cameraAt(90, { focalPx: 2810 }, 500), ignore: [] }]).coverage.cylinder
    expect(enough).toBeGreaterThan(0.3)
    expect(none).toBe(0)
    // 2900 / 6 = 483.3 mm: only what is nearer counts, so cos(angle) > (500 - 483.3) / 30.
    const part = coverageOf(surface, [], [{ camera: cameraAt(90, { focalPx: 2900 }, 500), ignore: [] }]).coverage.cylinder
    expect(part).toBeCloseTo(Math.acos((500 - 2900 / 6) / 30) / Math.PI, 2)
  })

  it('leaves out outlines and what lies beyond the picture', () => {
    const whole = coverageOf(surface, [hole], [{ camera: cameraAt(90), ignore: [] }]).coverage
    const rearHalf: [number, number][] = [
      [2000, 0],
      [4000, 0],
      [4000, 3000],
      [2000, 3000],
    ]
    const outlined = coverageOf(surface, [hole], [{ camera: cameraAt(90), ignore: [rearHalf] }]).coverage
    expect(outlined.cylinder).toBeCloseTo(whole.cylinder / 2, 2)
    expect(outlined.rearFillet).toBe(0)
    expect(outlined.frontFillet).toBe(whole.frontFillet)
    expect(outlined.holeRims).toBeCloseTo(0.5, 1)
    // The same half cut off by a narrower picture.
    const shifted = coverageOf(surface, [], [{ camera: cameraAt(90, { translation: [-20 + (2000 * 270) / 3000, 0, 300] }), ignore: [] }])
    expect(shifted.coverage.cylinder).toBeLessThan(whole.cylinder * 0.55)
  })

  it('a cheek hides the fillet behind it: from far beyond the front, the front fillet goes unseen', () => {
    const along = 150
    const tilt = Math.atan2(along, 300)
    const [ct, st] = [Math.cos(tilt), Math.sin(tilt)]
    // At angle 90: centre (0, 300, 20 - 150); ahead = (0, -ct, st); right = (0, st, ct); down = (-1, 0, 0).
    const centre = [0, 300, 20 - along]
    const rows = [
      [0, st, ct],
      [-1, 0, 0],
      [0, -ct, st],
    ]
    const camera: Camera = {
      ...cameraAt(90),
      rotation: rows.flat() as unknown as Camera['rotation'],
      translation: rows.map((row) => -(row[0] * centre[0] + row[1] * centre[1] + row[2] * centre[2])) as unknown as Camera['translation'],
    }
    const { coverage, grid } = coverageOf(surface, [], [{ camera, ignore: [] }])
    expect(coverage.frontFillet ?? 1).toBeLessThan(coverage.rearFillet ?? 0)
    // The view over the cheek's edge (radius 33 at z = 0) slopes 130 mm along to 267 mm up and comes down on the torus near z = 1.3, s = 2.9.
    const rowAt = (s: number) => grid.edgesS.findIndex((edge, i) => edge <= s && s < grid.edgesS[i + 1])
    expect(grid.seen[rowAt(0.3) * grid.columns + 90]).toBe(0)
    expect(grid.seen[rowAt(4) * grid.columns + 90]).toBe(1)
  })

  it('the far side of a fillet that faces the camera across the journal is not seen', () => {
    const along = 150
    const tilt = Math.atan2(along, 300)
    const [ct, st] = [Math.cos(tilt), Math.sin(tilt)]
    const centre = [0, 300, 20 + along]
    const rows = [
      [0, -st, ct],
      [-1, 0, 0],
      [0, -ct, -st],
    ]
    const camera: Camera = {
      ...cameraAt(90),
      rotation: rows.flat() as unknown as Camera['rotation'],
      translation: rows.map((row) => -(row[0] * centre[0] + row[1] * centre[1] + row[2] * centre[2])) as unknown as Camera['translation'],
    }
    const { grid } = coverageOf(surface, [], [{ camera, ignore: [] }])
    for (let row = 0; row < grid.rows; row++) expect(grid.seen[row * grid.columns + 270]).toBe(0)
    expect(grid.seen[4 * grid.columns + 90]).toBe(1)
  })

  it('a turned journal has the same shares', () => {
    const at = (angle: number) => coverageOf(surface, [{ ...hole, angleDeg: angle }], [{ camera: cameraAt(angle), ignore: [] }]).coverage
    expect(at(90).cylinder).toBeCloseTo(at(301).cylinder, 3)
    expect(at(301).holeRims).toBe(1)
  })
})
