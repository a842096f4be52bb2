/** A lift's picture laid out on the map: the part of it that shows the cylinder, as a canvas of map pixels. */
import { multiply, type Mat3 } from '@/lib/journal/vector'
import type { Lift } from '@/lib/model/lift'
import type { LiftFit } from '@/lib/photo/flat-lift'
import { inverseHomography, throughHomography } from '@/lib/photo/homography'

/** Between these places of the map, angle in radians and meridian arc in mm; rear at the top of the canvas. */
export type LaidPicture = { canvas: OffscreenCanvas; fromTheta: number; toTheta: number; fromS: number; toS: number }

const pxPerMm = 8
const mostPx = 6_000_000

/** null where the picture shows nothing of the cylinder. */
export function laidPicture(image: ImageBitmap, lift: Lift, fit: LiftFit): LaidPicture | null {
  const toPixel = fromMap(fit)
  const toMap = inverseHomography(toPixel)
  const extent = toMap && extentOf(toMap, lift, fit)
  if (!extent) return null
  const { from, to } = extent
  const { frontTangentS: fromS, rearTangentS: toS } = fit.surface
  const width = Math.max(1, Math.round((to - from) * pxPerMm))
  const height = Math.max(1, Math.round((toS - fromS) * pxPerMm))
  if (width * height > mostPx) return null
  const canvas = new OffscreenCanvas(width, height)
  const context = canvas.getContext('2d')
  const source = pixelsOf(image)
  if (!context || !source) return null
  const out = context.createImageData(width, height)
  const share = image.width / lift.width
  for (let row = 0; row < height; row++) {
    const s = toS - (row + 0.5) / pxPerMm
    for (let column = 0; column < width; column++) {
      const at = throughHomography(toPixel, { x: from + (column + 0.5) / pxPerMm, y: s })
      if (!at) continue
      const [u, v] = [Math.floor(at.x * share), Math.floor(at.y * share)]
      if (u < 0 || v < 0 || u >= image.width || v >= image.height) continue
      const [into, read] = [4 * (row * width + column), 4 * (v * image.width + u)]
      for (let channel = 0; channel < 3; channel++) out.data[into + channel] = source.data[read + channel]
      out.data[into + 3] = 255
    }
  }
  context.putImageData(out, 0, 0)
  return { canvas, fromTheta: from / fit.wrapRadius, toTheta: to / fit.wrapRadius, fromS, toS }
}

/** (mm around, mm of meridian arc) to the picture's px. */
function fromMap({ toPixel, toMap }: LiftFit): Mat3 {
  const [c, s] = [Math.cos(toMap.turn), Math.sin(toMap.turn)]
  const { around, along, mirror } = toMap
  return multiply(toPixel, [c, s, -c * around - s * along, -mirror * s, mirror * c, mirror * (s * around - c * along), 0, 0, 1])
}

/** The stretch around that the picture's edge spans, never more than a turn about the witness line. */
function extentOf(toMap: Mat3, { width, height, witness }: Lift, fit: LiftFit): { from: number; to: number } | null {
  const corners = [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ].map(([x, y]) => throughHomography(toMap, { x, y }))
  const middle = ((witness.angleDeg * Math.PI) / 180) * fit.wrapRadius
  const half = Math.PI * fit.wrapRadius
  const around = corners.map((corner) => corner?.x ?? Number.NaN)
  const whole = around.some(Number.isNaN)
  const from = Math.max(middle - half, whole ? middle - half : Math.min(...around))
  const to = Math.min(middle + half, whole ? middle + half : Math.max(...around))
  return to > from ? { from, to } : null
}

function pixelsOf(image: ImageBitmap): ImageData | null {
  const context = new OffscreenCanvas(image.width, image.height).getContext('2d', { willReadFrequently: true })
  if (!context) return null
  context.drawImage(image, 0, 0)
  return context.getImageData(0, 0, image.width, image.height)
}
