/** What glows in one photograph under ultraviolet on a grid of the map, cylinder and fillets, as far around as it is seen but at grazing angles. */
import type { Surface } from '../journal/surface'
import { bilinearAt } from '../photo/bilinear'
import { cameraPlace } from '../photo/camera'
import type { GlowStrip } from '../photo/glow-strip'
import { outlinesOf, withinOutlines } from '../photo/outline'
import { isUltraviolet } from '../photo/propose-planes'
import { emptyPointView, rowView, viewPoint } from '../photo/row-view'
import type { Picture } from './picture'
import type { RolloutView } from './rollout'

/** Seen at less than this a pixel covers too much of the map. */
const leastCosine = 0.17
/** Webs stand further out than the fillet's edge and hide more than the journal's sizes tell, mm. */
const webBeyondMm = 2

/** In the angles of the view's camera; null in white light. */
export function glowStrip(surface: Surface, view: RolloutView, columns: number): GlowStrip | null {
  if (!underUltraviolet(view.picture, seenStrip(surface, view, sparseColumns).pixels)) return null
  const { pixels, ...strip } = seenStrip(surface, view, columns)
  const { picture } = view
  // the particles shine green where the lamp is blue
  const glow = (at: number) => picture.data[at + 1] - picture.data[at + 2]
  return { ...strip, grey: Float32Array.from(strip.cosine, (_, at) => bilinearAt(picture, pixels[2 * at], pixels[2 * at + 1], glow)) }
}

/** Enough to tell the light by. */
const sparseColumns = 64

/** Where each place of the grid is seen: u, v by turns, px from the middle of the picture's first pixel; NaN where it is not. */
function seenStrip(
  surface: Surface,
  { picture, camera, ignore }: RolloutView,
  columns: number,
): Omit<GlowStrip, 'grey'> & { pixels: Float32Array } {
  const step = (2 * Math.PI) / columns
  const [x, y] = cameraPlace(camera)
  const width = columns / 2
  const first = Math.round(Math.atan2(y, x) / step) - width / 2
  const height = Math.max(8, Math.round(surface.totalS / (step * surface.radius)))
  const pixels = new Float32Array(2 * width * height).fill(Number.NaN)
  const cosine = new Float32Array(width * height)
  const outlines = outlinesOf(ignore)
  const point = emptyPointView()
  const [scaleU, scaleV] = [picture.width / camera.width, picture.height / camera.height]
  for (let row = 0; row < height; row++) {
    const view = rowView(surface, camera, ((row + 0.5) / height) * surface.totalS)
    for (let i = 0; i < width; i++) {
      const theta = (first + i + 0.5) * step
      if (!viewPoint(view, Math.cos(theta), Math.sin(theta), point)) continue
      if (point.cosIncidence < leastCosine || point.cheekMargin < webBeyondMm || withinOutlines(outlines, point.u, point.v)) continue
      const at = row * width + i
      pixels[2 * at] = point.u * scaleU - 0.5
      pixels[2 * at + 1] = point.v * scaleV - 0.5
      cosine[at] = point.cosIncidence
    }
  }
  return { columns, first, width, height, step: { around: step * surface.radius, along: surface.totalS / height }, pixels, cosine }
}

/** Nearly all of what is seen of the journal lacks red; a rag or a glove in the way may do so too, but hides only a part. */
function underUltraviolet({ width, height, channels, data }: Picture, pixels: Float32Array): boolean {
  let [seen, violet] = [0, 0]
  for (let k = 0; k < pixels.length; k += 2) {
    const [i, j] = [Math.round(pixels[k]), Math.round(pixels[k + 1])]
    if (!(i >= 0 && j >= 0 && i < width && j < height)) continue
    const at = (j * width + i) * channels
    seen++
    if (isUltraviolet(data[at], data[at + 1], data[at + 2])) violet++
  }
  return violet > leastViolet * seen
}

const leastViolet = 0.5
