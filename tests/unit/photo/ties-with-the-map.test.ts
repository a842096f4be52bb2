/** Ties with known places of the map, and a lens in common: what places a photograph that has no handle of its own. */
import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../../lib/journal/surface'
import { closeUpCamera } from '../../../lib/photo/close-up-camera'
import { baseOf, unknownIndex } from '../../../lib/photo/fit-state'
import { type JointPhoto, solveJointly, type Tie } from '../../../lib/photo/joint-fit'
import type { Prior } from '../../../lib/photo/lens-priors'
import { verticesCovariance } from '../../../lib/photo/map-covariance'
import { pixelToMap } from '../../../lib/photo/unproject'
import { sight } from '../../fixtures/render/handles'
import type { Metal } from '../../fixtures/render/metal'
import { noiseFrom } from '../../fixtures/render/noise'
import { pinholeAt } from '../../fixtures/render/pinhole'

const metal: Metal = {
  radius: 28,
  width: 32,
  front: { form: 'tangent', radius: 2.5 },
  rear: { form: 'tangent', radius: 2.5 },
  holes: [],
  frontWebRadius: 31,
  rearWebRadius: 31,
  webThickness: 15,
}
const surface = surfaceOf({ diameter: 2 * metal.radius, width: metal.width, fillets: { front: metal.front, rear: metal.rear } })
const lens = { width: 2000, height: 1500, focalPx: 3000, k1: 0 }
const middle = surface.totalS / 2
const tieSigmaMm = 0.03

/** A view from 60 mm off the surface, and ties of places in it with the map itself. */
function closeUp(seed: number, count: number) {
  const noise = noiseFrom(seed)
  const facing = noise.uniform(-3, 3)
  const far = metal.radius + 60
  const off = facing + noise.uniform(-0.05, 0.05)
  const centre = [far * Math.cos(off), far * Math.sin(off), 16 + noise.uniform(-8, 8)] as const
  const target = [metal.radius * Math.cos(facing), metal.radius * Math.sin(facing), 16] as const
  const view = pinholeAt(lens, centre, target, noise.uniform(0, 360))
  const ties: Tie[] = []
  while (ties.length < count) {
    const [theta, s] = [facing + noise.uniform(-0.4, 0.4), middle + noise.uniform(-9, 9)]
    const pixel = sight(metal, view, theta, s, 70)
    if (!pixel) continue
    const place = { theta: theta + (tieSigmaMm * noise.normal()) / metal.radius, s: s + tieSigmaMm * noise.normal() }
    const information = [1 / tieSigmaMm ** 2, 0, 1 / tieSigmaMm ** 2] as const
    ties.push({ first: { photo: null, place }, second: { photo: 0, pixel: { u: pixel[0], v: pixel[1] } }, information })
  }
  // the picture's right as the axis has it: how the true camera is turned
  const right = Math.atan2(-(view.right[0] * Math.sin(facing) - view.right[1] * Math.cos(facing)), view.right[2])
  return { noise, facing, view, ties, right }
}

function priorOf(focalPx: number, sigma: number): Prior {
  const row = new Float64Array(10)
  row[unknownIndex.logFocal] = 1 / sigma
  return { unknown: unknownIndex.logFocal, evaluate: ({ camera }) => ({ residual: Math.log(camera.focalPx / focalPx) / sigma, row }) }
}

function photoAt(seed: ReturnType<typeof closeUp>, focalPx: number, sigma: number): JointPhoto {
  const { noise, facing, right } = seed
  const pose = {
    theta: facing + noise.uniform(-0.05, 0.05),
    s: middle + noise.uniform(-1, 1),
    pxPerMm: 50 * noise.uniform(0.94, 1.06),
    right: right + noise.uniform(-0.05, 0.05),
    leanAround: 0,
    leanAlong: 0,
  }
  const unknowns = [0, 1, 2, 3, 4, 5, unknownIndex.logFocal]
  const priors = { startFocalPx: focalPx, focalFrom: 'solved' as const, list: [priorOf(focalPx, sigma)] }
  const base = baseOf(closeUpCamera(surface, pose, { ...lens, focalPx }), surface)
  return { task: { observations: [], priors, unknowns, pickSigmaPx: 1 }, base, contourSigns: [1, -1] }
}

describe('a photograph without a handle', () => {
  it('is placed by ties with the map from a rough start, the focal length half of the true one, as its sigmas say', () => {
    const own: number[] = []
    for (let seed = 1; seed <= 25; seed++) {
      const made = closeUp(seed, 30)
      const photo = photoAt(made, 1500, Math.LN2)
      const solution = solveJointly(surface, [photo], made.ties)
      if (!solution) throw new Error('no solution')
      const state = solution.states[0]
      const theta = made.facing + 0.15
      const [u, v] = sight(metal, made.view, theta, middle + 4) as [number, number]
      const found = pixelToMap(state.surface, state.camera, { u, v })
      if (!found.ok) throw new Error('misses')
      const fit = { camera: state.camera, surface: state.surface, unknowns: photo.task.unknowns, covariance: solution.covariances[0] }
      const covariance = verticesCovariance(fit, [found.value], 0) as Float64Array
      const turn = found.value.theta - theta
      const around = metal.radius * (turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI)))
      expect(Math.abs(around)).toBeLessThan(0.08)
      own.push(around / Math.sqrt(covariance[0]), (found.value.s - middle - 4) / Math.sqrt(covariance[5]))
    }
    const rms = Math.sqrt(own.reduce((sum, value) => sum + value * value, 0) / own.length)
    expect(rms).toBeGreaterThan(0.7)
    expect(rms).toBeLessThan(1.35)
  })

  it('takes the focal length from one with which it shares its lens', () => {
    const made = closeUp(40, 12)
    const known = photoAt(closeUp(41, 12), 3000, 0.001)
    const open = photoAt(made, 1500, Math.LN2)
    const ties = (list: readonly Tie[], photo: number) =>
      list.map((tie) => (tie.second.photo === null ? tie : { ...tie, second: { ...tie.second, photo } }))
    const all = [...ties(closeUp(41, 12).ties, 0), ...ties(made.ties, 1)]
    const members = [0, 1].map((photo) => ({ photo, sigma: 0.002 }))
    const focal = (shares: Parameters<typeof solveJointly>[3]) => {
      const solution = solveJointly(surface, [known, open], all, shares)
      if (!solution) throw new Error('no solution')
      const n = open.task.unknowns.length
      return { ratio: solution.states[1].camera.focalPx / 3000, sigma: Math.sqrt(solution.covariances[1][n * n - 1]) }
    }
    expect(focal([]).sigma).toBeGreaterThan(0.03)
    const shared = focal([{ unknown: 'logFocal', members }])
    expect(Math.abs(shared.ratio - 1)).toBeLessThan(0.01)
    expect(shared.sigma).toBeLessThan(0.004)
  })
})
