/** Ties made from known places with known noise: the solve finds the truth, and its sigmas say how nearly. */
import { describe, expect, it } from 'vitest'
import { readInspection } from '../../../lib/journal/read-inspection'
import { surfaceOf } from '../../../lib/journal/surface'
import { multiply, rotationOf } from '../../../lib/journal/vector'
import { fitPhoto } from '../../../lib/photo/cylinder-fit'
import { baseOf, unknownIndex } from '../../../lib/photo/fit-state'
import { type JointPhoto, solveJointly, type Tie } from '../../../lib/photo/joint-fit'
import { lensPriors } from '../../../lib/photo/lens-priors'
import { verticesCovariance } from '../../../lib/photo/map-covariance'
import { observationsOf } from '../../../lib/photo/observation'
import { pixelToMap } from '../../../lib/photo/unproject'
import { journalOf } from '../../fixtures/render/cases'
import { pickHandles, sight } from '../../fixtures/render/handles'
import { type Metal, meridianLength } from '../../fixtures/render/metal'
import { type Noise, noiseFrom } from '../../fixtures/render/noise'
import { type Pinhole, pinholeAt } from '../../fixtures/render/pinhole'

const metal: Metal = {
  radius: 28,
  width: 32,
  front: { form: 'tangent', radius: 2.5 },
  rear: { form: 'tangent', radius: 2.5 },
  holes: [{ id: 'h1', angleDeg: 5, axial: 16, mouthAround: 6, mouthAlong: 7, tiltDeg: 0 }],
  frontWebRadius: 31,
  rearWebRadius: 31,
  webThickness: 15,
}
const size = { width: 2000, height: 1500 }
const pickSigmaPx = 0.6
const tieSigmaMm = 0.04
const total = meridianLength(metal)

function cameras(noise: Noise, count: number): Pinhole[] {
  return Array.from({ length: count }, (_, i) => {
    const facing = ((i * 45 + noise.uniform(-6, 6)) * Math.PI) / 180
    const far = noise.uniform(175, 195)
    const centre = [far * Math.cos(facing), far * Math.sin(facing), 16 + noise.uniform(-25, 25)] as const
    return pinholeAt({ ...size, focalPx: 3000, k1: 0 }, centre, [noise.uniform(-1, 1), noise.uniform(-1, 1), 16], noise.uniform(0, 360))
  })
}

/** Pixels of one place seen by both, the second's a little astray on the metal. */
function tiesBetween(views: readonly Pinhole[], first: number, second: number, count: number, noise: Noise, strayMm = 0): Tie[] {
  const ties: Tie[] = []
  const middle = ((first + second) / 2) * ((45 * Math.PI) / 180)
  while (ties.length < count) {
    const theta = middle + noise.uniform(-0.7, 0.7)
    const s = noise.uniform(5, total - 5)
    const a = sight(metal, views[first], theta, s, 70)
    const away = (strayMm + tieSigmaMm * noise.normal()) / metal.radius
    const b = sight(metal, views[second], theta + away, s + tieSigmaMm * noise.normal(), 70)
    if (!a || !b) continue
    const information = [1 / tieSigmaMm ** 2, 0, 1 / tieSigmaMm ** 2] as const
    ties.push({ first: { photo: first, pixel: { u: a[0], v: a[1] } }, second: { photo: second, pixel: { u: b[0], v: b[1] } }, information })
  }
  return ties
}

/** The photographs as they go into the solve: turned to within a degree, the first one's hole picked alone. */
function jointPhotos(views: readonly Pinhole[], noise: Noise): JointPhoto[] {
  return views.map((view, i) => {
    const order = { sidePoints: [5, 5] as [number, number], ringPoints: 7, rings: ['front-fillet' as const, 'rear-fillet' as const] }
    const handles = pickHandles(metal, view, { ...order, holes: i === 0, clock: [], noisePx: pickSigmaPx }, noise)
    const photo = { id: 'ph1', journalId: 'J1', ...size, focalPx: 3000, k1: 0, pickSigmaPx, handles: { ...handles, strip: null } }
    const read = readInspection({
      format: 'throwmark/inspection@1',
      units: 'mm',
      shaft: { id: 'S1', label: '' },
      journals: [journalOf(metal)],
      photos: [photo],
    })
    if (!read.ok) throw new Error(JSON.stringify(read.reason))
    const [journal] = read.value.journals
    const fit = fitPhoto(journal, read.value.photos[0], null)
    if (!fit.ok) throw new Error(JSON.stringify(fit.reason))
    const surface = surfaceOf(journal)
    const { camera } = fit.value
    const place = sight(metal, view, (i * 45 * Math.PI) / 180, total / 2) as [number, number]
    const own = pixelToMap(surface, camera, { u: place[0], v: place[1] })
    if (!own.ok) throw new Error(own.reason.toString())
    const turn = i === 0 ? 0 : (i * 45 * Math.PI) / 180 - own.value.theta + noise.uniform(-0.01, 0.01)
    const rotation = multiply(camera.rotation, rotationOf([0, 0, -turn]))
    const unknowns = [...new Set([...fit.value.unknowns, unknownIndex.roll, unknownIndex.slide])].sort((a, b) => a - b)
    return {
      task: {
        observations: observationsOf(journal, read.value.photos[0].handles),
        priors: lensPriors(read.value.photos[0], null, surface),
        unknowns,
        pickSigmaPx,
      },
      base: baseOf({ ...camera, rotation }, surface),
      contourSigns: fit.value.contourSigns,
    }
  })
}

type Check = { errorMm: number; sigmaMm: number }

/** Where a place in the middle of each photograph comes out, around the journal. */
function checked(views: readonly Pinhole[], photos: readonly JointPhoto[], ties: readonly Tie[]): { checks: Check[]; tieScale: number } {
  const surface = surfaceOf({ diameter: 2 * metal.radius, width: metal.width, fillets: { front: metal.front, rear: metal.rear } })
  const solution = solveJointly(surface, photos, ties)
  if (!solution) throw new Error('no solution')
  const checks = views.map((view, i) => {
    const theta = (i * 45 * Math.PI) / 180
    const [u, v] = sight(metal, view, theta, total / 2) as [number, number]
    const state = solution.states[i]
    const found = pixelToMap(state.surface, state.camera, { u, v })
    if (!found.ok) throw new Error('misses')
    const fit = { camera: state.camera, surface: state.surface, unknowns: photos[i].task.unknowns, covariance: solution.covariances[i] }
    const covariance = verticesCovariance(fit, [found.value], 0)
    const off = found.value.theta - theta
    return {
      errorMm: metal.radius * (off - 2 * Math.PI * Math.round(off / (2 * Math.PI))),
      sigmaMm: Math.sqrt(covariance?.[0] ?? Number.NaN),
    }
  })
  return { checks, tieScale: solution.tieScale }
}

const neighbours = [
  [0, 1],
  [1, 2],
  [2, 3],
]

describe('all photographs of a journal at once', () => {
  it('carries the angle from the one photograph that shows a hole; over 40 journals 90 to 99 % lie within 1.96 sigma', () => {
    const checks: Check[] = []
    for (let seed = 1; seed <= 40; seed++) {
      const noise = noiseFrom(seed)
      const views = cameras(noise, 4)
      const photos = jointPhotos(views, noise)
      const ties = neighbours.flatMap(([a, b]) => tiesBetween(views, a, b, 12, noise))
      checks.push(...checked(views, photos, ties).checks.slice(1))
    }
    const inside = checks.filter(({ errorMm, sigmaMm }) => Math.abs(errorMm) <= 1.96 * sigmaMm).length / checks.length
    expect(Math.max(...checks.map(({ errorMm }) => Math.abs(errorMm)))).toBeLessThan(0.2)
    expect(inside).toBeGreaterThanOrEqual(0.9)
    expect(inside).toBeLessThanOrEqual(0.99)
  }, 60_000)

  it('is less sure the further it is from the hole', () => {
    const noise = noiseFrom(101)
    const views = cameras(noise, 4)
    const photos = jointPhotos(views, noise)
    const { checks } = checked(
      views,
      photos,
      neighbours.flatMap(([a, b]) => tiesBetween(views, a, b, 6, noise)),
    )
    expect(checks[3].sigmaMm).toBeGreaterThan(checks[1].sigmaMm)
  })

  it('widens its sigmas where the ties contradict each other more than they claim', () => {
    const noise = noiseFrom(102)
    const views = cameras(noise, 2)
    const photos = jointPhotos(views, noise)
    const honest = tiesBetween(views, 0, 1, 20, noise)
    const boasting = honest.map((tie) => ({ ...tie, information: [100 / tieSigmaMm ** 2, 0, 100 / tieSigmaMm ** 2] as const }))
    const scale = checked(views, photos, boasting).tieScale / checked(views, photos, honest).tieScale
    expect(scale).toBeGreaterThan(4)
  })

  it('is not pulled away by a few ties that are plainly wrong', () => {
    const noise = noiseFrom(103)
    const views = cameras(noise, 2)
    const photos = jointPhotos(views, noise)
    const ties = [...tiesBetween(views, 0, 1, 18, noise), ...tiesBetween(views, 0, 1, 2, noise, 1.5)]
    const { checks } = checked(views, photos, ties)
    expect(Math.abs(checks[1].errorMm)).toBeLessThan(0.15)
  })

  it('is null where nothing ties a photograph’s angle to anything', () => {
    const noise = noiseFrom(104)
    const views = cameras(noise, 3)
    const photos = jointPhotos(views, noise)
    expect(
      solveJointly(
        surfaceOf({ diameter: 2 * metal.radius, width: metal.width, fillets: { front: metal.front, rear: metal.rear } }),
        photos,
        tiesBetween(views, 0, 1, 12, noise),
      ),
    ).toBeNull()
  })
})
