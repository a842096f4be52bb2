import { createRequire } from 'node:module'
import { beforeAll, describe, expect, it } from 'vitest'
import { fitHomography, throughHomography } from '../../lib/photo/homography'
import { fitLift } from '../../lib/photo/flat-lift'
import { liftedPoint } from '../../lib/photo/lift-mark'
import { liftCase } from '../fixtures/simulated/flat-lifts'
import { noiseFrom } from '../fixtures/render/noise'

/** What is used of OpenCV's npm build (Apache-2.0). */
type Mat = { data64F: Float64Array; delete(): void }
type OpenCv = {
  CV_64FC2: number
  Mat: new () => Mat
  matFromArray(rows: number, columns: number, type: number, values: number[]): Mat
  findHomography(from: Mat, to: Mat, method: number): Mat
  perspectiveTransform(from: Mat, to: Mat, matrix: Mat): void
}

let cv: OpenCv
beforeAll(async () => {
  const loaded = createRequire(import.meta.url)('@techstark/opencv-js')
  cv = loaded instanceof Promise ? await loaded : loaded
  if (!cv.Mat) await new Promise<void>((resolve) => Object.assign(cv, { onRuntimeInitialized: resolve }))
}, 60_000)

/** `THROWMARK_LIFT_CASES=4000 npm test -- --project published tests/published/flat-lift` draws more. */
const cases = Number(process.env.THROWMARK_LIFT_CASES ?? 500)

describe('homography against OpenCV findHomography and perspectiveTransform (npm build @techstark/opencv-js)', () => {
  it('agrees to a thousandth of a pixel, four to twelve noisy points, 40 tilted planes', () => {
    for (let seed = 0; seed < 40; seed++) {
      const noise = noiseFrom(seed)
      const tilt = [noise.uniform(-4e-4, 4e-4), noise.uniform(-4e-4, 4e-4)]
      const pairs = Array.from({ length: 4 + (seed % 9) }, (_, i) => {
        const angle = (2 * Math.PI * i) / (4 + (seed % 9)) + noise.uniform(-0.3, 0.3)
        const flat = { x: 60 + 70 * Math.cos(angle) + noise.uniform(-8, 8), y: 30 + 40 * Math.sin(angle) + noise.uniform(-8, 8) }
        const w = 1 + tilt[0] * flat.x + tilt[1] * flat.y
        const pixel = {
          x: (300 + 21 * flat.x + 3 * flat.y) / w + 2 * noise.normal(),
          y: (200 - 4 * flat.x + 19 * flat.y) / w + 2 * noise.normal(),
        }
        return { flat, pixel }
      })
      const ours = fitHomography(pairs)
      if (!ours.ok) throw new Error(ours.reason.code)
      const from = cv.matFromArray(
        pairs.length,
        1,
        cv.CV_64FC2,
        pairs.flatMap(({ flat }) => [flat.x, flat.y]),
      )
      const to = cv.matFromArray(
        pairs.length,
        1,
        cv.CV_64FC2,
        pairs.flatMap(({ pixel }) => [pixel.x, pixel.y]),
      )
      const theirs = cv.findHomography(from, to, 0)
      const grid = Array.from({ length: 9 }, (_, i) => ({ x: 10 + 50 * (i % 3), y: 5 + 25 * Math.floor(i / 3) }))
      const places = cv.matFromArray(
        9,
        1,
        cv.CV_64FC2,
        grid.flatMap(({ x, y }) => [x, y]),
      )
      const seen = new cv.Mat()
      cv.perspectiveTransform(places, seen, theirs)
      for (const [i, place] of grid.entries()) {
        const at = throughHomography(ours.value.matrix, place)
        expect(Math.hypot((at?.x ?? 0) - seen.data64F[2 * i], (at?.y ?? 0) - seen.data64F[2 * i + 1])).toBeLessThan(2e-3)
      }
      for (const mat of [from, to, theirs, places, seen]) mat.delete()
    }
  })
})

describe('sigmas of places on a flat lift, drawn at random (JCGM 101: propagation of distributions by a Monte Carlo method)', () => {
  it('hold 93 to 97 % of true places inside 1.96 sigma, around and along, on the whole and in each tenth of their size', () => {
    const draws: { around: [sigma: number, inside: boolean][]; along: [sigma: number, inside: boolean][] } = { around: [], along: [] }
    let kept = 0
    let withinRange = 0
    for (let seed = 40_000; seed < 40_000 + cases; seed++) {
      const { surface, lift, places } = liftCase(seed, { points: 4 + (seed % 4), linePoints: 2 + (seed % 3), places: 1 })
      const fit = fitLift(surface, lift)
      if (!fit.ok) throw new Error(`seed ${seed}: ${fit.reason.code}`)
      kept += 1
      if (fit.value.residualsWithinRange) withinRange += 1
      for (const { pixel, theta, s } of places) {
        const at = liftedPoint(fit.value, pixel)
        if (!at) throw new Error(`seed ${seed}: beyond the horizon`)
        const [around, , along] = at.covariance.map(Math.sqrt)
        const off = at.theta - theta - 2 * Math.PI * Math.round((at.theta - theta) / (2 * Math.PI))
        draws.around.push([around, Math.abs(off * surface.radius) < 1.96 * around])
        draws.along.push([along, Math.abs(at.s - s) < 1.96 * along])
      }
    }
    for (const [name, list] of Object.entries(draws)) {
      const share = (part: typeof list) => part.filter(([, inside]) => inside).length / part.length
      const ordered = [...list].sort((a, b) => a[0] - b[0])
      const tenths = Array.from({ length: 10 }, (_, i) => share(ordered.slice((i * list.length) / 10, ((i + 1) * list.length) / 10)))
      if (process.env.THROWMARK_LIFT_CASES) console.log(name, share(list).toFixed(4), tenths.map((tenth) => tenth.toFixed(3)).join(' '))
      // four standard errors of a share drawn so often
      const slack = (n: number) => 4 * Math.sqrt((0.95 * 0.05) / n)
      expect(Math.abs(share(list) - 0.95)).toBeLessThan(Math.max(0.02, slack(list.length)))
      for (const tenth of tenths) expect(Math.abs(tenth - 0.95)).toBeLessThan(Math.max(0.02, slack(list.length / 10)))
    }
    // a chi-square within its 99 % range, as often as that says
    expect(withinRange / kept).toBeGreaterThan(0.97)
  })
})
