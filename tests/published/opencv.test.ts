import { createRequire } from 'node:module'
import { beforeAll, describe, expect, it } from 'vitest'
import { type Camera, pixelRay, project } from '../../lib/photo/camera'
import { noiseFrom } from '../fixtures/render/noise'

/** What is used of OpenCV's npm build (Apache-2.0). */
type Mat = { data64F: Float64Array; delete(): void }
type OpenCv = {
  CV_64F: number
  CV_64FC2: number
  CV_64FC3: number
  Mat: new () => Mat
  matFromArray(rows: number, columns: number, type: number, values: number[]): Mat
  Rodrigues(from: Mat, to: Mat): void
  projectPoints(points: Mat, rvec: Mat, tvec: Mat, cameraMatrix: Mat, distortion: Mat, pixels: Mat, jacobian: Mat): void
}

let cv: OpenCv

beforeAll(async () => {
  const loaded = createRequire(import.meta.url)('@techstark/opencv-js')
  cv = loaded instanceof Promise ? await loaded : loaded
  if (!cv.Mat) await new Promise<void>((resolve) => Object.assign(cv, { onRuntimeInitialized: resolve }))
}, 60_000)

function byOpenCv(camera: Camera, points: readonly (readonly [number, number, number])[]): Float64Array {
  const rotation = cv.matFromArray(3, 3, cv.CV_64F, [...camera.rotation])
  const rvec = new cv.Mat()
  cv.Rodrigues(rotation, rvec)
  const mats = [
    cv.matFromArray(points.length, 1, cv.CV_64FC3, points.flat()),
    rvec,
    cv.matFromArray(3, 1, cv.CV_64F, [...camera.translation]),
    cv.matFromArray(3, 3, cv.CV_64F, [camera.focalPx, 0, camera.width / 2, 0, camera.focalPx, camera.height / 2, 0, 0, 1]),
    cv.matFromArray(5, 1, cv.CV_64F, [camera.k1, 0, 0, 0, 0]),
    new cv.Mat(),
    new cv.Mat(),
  ] as const
  cv.projectPoints(...mats)
  const pixels = Float64Array.from(mats[5].data64F)
  for (const mat of [rotation, ...mats]) mat.delete()
  return pixels
}

/** A rotation by Euler angles, multiplied out by hand. */
function rotationBy(a: number, b: number, c: number): Camera['rotation'] {
  const [ca, sa, cb, sb, cc, sc] = [Math.cos(a), Math.sin(a), Math.cos(b), Math.sin(b), Math.cos(c), Math.sin(c)]
  return [
    cb * cc,
    -cb * sc,
    sb,
    sa * sb * cc + ca * sc,
    ca * cc - sa * sb * sc,
    -sa * cb,
    sa * sc - ca * sb * cc,
    sa * cc + ca * sb * sc,
    ca * cb,
  ]
}

describe('projection with k1 against OpenCV projectPoints (npm build @techstark/opencv-js)', () => {
  it('agrees to a thousandth of a pixel for 50 cameras and 1000 points, k1 from -0.2 to 0.2', () => {
    const noise = noiseFrom(5)
    for (let i = 0; i < 50; i++) {
      const camera: Camera = {
        width: 4000,
        height: 3000,
        focalPx: noise.uniform(1500, 5000),
        k1: noise.uniform(-0.2, 0.2),
        rotation: rotationBy(noise.uniform(-3, 3), noise.uniform(-1.5, 1.5), noise.uniform(-3, 3)),
        translation: [noise.uniform(-20, 20), noise.uniform(-20, 20), noise.uniform(200, 500)],
      }
      const points = Array.from({ length: 20 }, () => [noise.uniform(-60, 60), noise.uniform(-60, 60), noise.uniform(-60, 60)] as const)
      const theirs = byOpenCv(camera, points)
      points.forEach((point, k) => {
        const ours = project(camera, point)
        expect(Math.abs((ours?.u ?? 0) - theirs[2 * k])).toBeLessThan(1e-3)
        expect(Math.abs((ours?.v ?? 0) - theirs[2 * k + 1])).toBeLessThan(1e-3)
        if (!ours) return
        // The ray of that pixel runs through the point.
        const { origin, direction } = pixelRay(camera, ours)
        const t = [0, 1, 2].reduce((sum, j) => sum + (point[j] - origin[j]) * direction[j], 0)
        expect(Math.hypot(...[0, 1, 2].map((j) => origin[j] + t * direction[j] - point[j]))).toBeLessThan(1e-6)
      })
    }
  })
})
