/** A fitted photograph as the search for marks takes it: its camera, what is left out of it, and how surely it lies where its fit puts it. */
import type { Pixel } from '../model/photo'
import { type Camera, cameraPlace } from '../photo/camera'
import { type FittedCamera, verticesCovariance } from '../photo/map-covariance'

export type LineView = {
  camera: Camera
  ignore: readonly (readonly Pixel[])[]
  /** One standard deviation of where the middle of what it shows lies on the map. */
  sigmaMm: { around: number; along: number }
}

/** Where a fit does not tell its own uncertainty in the middle of the view, mm. */
const unknownSigmaMm = 1

export function lineViewOf(fit: FittedCamera, ignore: readonly (readonly Pixel[])[]): LineView {
  const [x, y] = cameraPlace(fit.camera)
  const middle = { theta: Math.atan2(y, x), s: fit.surface.totalS / 2 }
  const covariance = verticesCovariance(fit, [middle], 0)
  const size = 4
  const sigma = (i: number) => (covariance ? Math.sqrt(covariance[i * size + i]) : unknownSigmaMm)
  return { camera: fit.camera, ignore, sigmaMm: { around: sigma(0), along: sigma(1) } }
}
