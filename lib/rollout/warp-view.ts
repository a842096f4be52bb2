/** One photograph of a rollout as the kernel needs it, pixels aside, and what it weighs at a point that it shows. */
import type { Camera } from '../photo/camera'
import { distanceToOutlines, type Outlines, outlinesOf } from '../photo/outline'
import type { Pixel } from '../model/photo'
import type { PointView } from '../photo/row-view'
import { glareShare, weightOf } from './blend'
import type { Exposure } from './exposure'
import { colourAt } from './map-cells'
import { halvingsOf, type Picture } from './picture'

export type WarpView = {
  camera: Camera
  outlines: Outlines
  /** How far from a border the weight is back to full, px of the photograph. */
  fadePx: number
  /** How far outside a cheek's edge it is, mm. */
  cheekFadeMm: number
  /** Of the picture to read, which may be smaller than the photograph, and how often it can be halved. */
  width: number
  height: number
  depth: number
  /** The picture at about 2 mm a pixel, in which glare is looked for and exposure compared. */
  coarse: Picture
  exposure: Exposure
}

/** `radius` of the journal, mm. */
export function warpView(
  camera: Camera,
  ignore: readonly (readonly Pixel[])[],
  size: { width: number; height: number },
  coarse: Picture,
  radius: number,
): Omit<WarpView, 'exposure'> {
  return {
    camera,
    outlines: outlinesOf(ignore),
    fadePx: 0.03 * Math.hypot(camera.width, camera.height),
    cheekFadeMm: cheekFade * radius,
    width: size.width,
    height: size.height,
    depth: halvingsOf(size),
    coarse,
  }
}

/** Cheeks stand out beyond their edge at the fillet, nobody says how far: a view that clears the edge by a quarter of the radius is clear of most (from memory). */
const cheekFade = 0.25

/** Distance in px of the photograph to the nearest border of the picture or of an outline left out, at most `fadePx`; 0 or less: not shown. */
export function borderPxIn({ camera, outlines, fadePx }: WarpView, { u, v }: PointView): number {
  const edge = Math.min(u, v, camera.width - u, camera.height - v, fadePx)
  return edge <= 0 || outlines.polygons.length === 0 ? edge : distanceToOutlines(outlines, u, v, edge)
}

/** The photograph's colour about the point, over about 2 mm. */
export function colourIn({ camera, coarse }: WarpView, { u, v }: PointView, out: Float64Array): void {
  colourAt(coarse, (u * coarse.width) / camera.width, (v * coarse.height) / camera.height, out)
}

/** What the photograph weighs, seams aside. */
export function weightIn(view: WarpView, point: PointView, borderPx: number, colour: Float64Array): number {
  const weight = weightOf(point, view.camera.focalPx, borderPx, view) * glareShare(Math.min(colour[0], colour[1], colour[2]))
  return view.exposure.ultraviolet ? ultravioletShare * weight : weight
}

/** What an ultraviolet photograph weighs beside one in white light: nothing that shows. */
const ultravioletShare = 1e-14
