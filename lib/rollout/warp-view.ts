/** One photograph of a rollout as the kernel needs it, pixels aside. */
import type { Camera } from '../photo/camera'
import { type Outlines, outlinesOf } from '../photo/outline'
import type { Pixel } from '../model/photo'
import type { Exposure } from './exposure'
import { halvingsOf, type Picture } from './picture'

export type WarpView = {
  camera: Camera
  outlines: Outlines
  /** How far from a border the weight is back to full, px of the photograph. */
  fadePx: number
  /** Of the picture to read, which may be smaller than the photograph, and how often it can be halved. */
  width: number
  height: number
  depth: number
  /** The picture at about 2 mm a pixel, in which glare is looked for and exposure compared. */
  coarse: Picture
  exposure: Exposure
}

export function warpView(
  camera: Camera,
  ignore: readonly (readonly Pixel[])[],
  size: { width: number; height: number },
  coarse: Picture,
): Omit<WarpView, 'exposure'> {
  return {
    camera,
    outlines: outlinesOf(ignore),
    fadePx: 0.03 * Math.hypot(camera.width, camera.height),
    width: size.width,
    height: size.height,
    depth: halvingsOf(size),
    coarse,
  }
}
