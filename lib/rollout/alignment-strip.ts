/** One photograph rolled out for comparing with others: the cylinder alone, seen within 70 degrees of the normal, glare left out. */
import { axialOfS, type Surface } from '../journal/surface'
import { cameraPlace } from '../photo/camera'
import type { GreyStrip } from '../photo/texture'
import type { Kernel } from './kernel'
import { type RolloutView, rollout } from './rollout'

/** Around the turn; a power of two, as the comparison by Fourier transforms wants it. */
const stripWidth = 2048
const steepestDeg = 70
const glareGrey = 235
/** Beside a tangent line the light of the fillet begins. */
const marginMm = 0.5

export function alignmentStrip(surface: Surface, view: RolloutView, kernel: Kernel): GreyStrip {
  const pxPerMm = stripWidth / (2 * Math.PI * surface.radius)
  const size = { width: stripWidth, height: 8 * Math.round((surface.totalS * pxPerMm) / 8) }
  const map = rollout(surface, [view], size, { kernel })
  const place = cameraPlace(view.camera)
  const towards = Math.atan2(place[1], place[0])
  const grey = new Float32Array(size.width * size.height)
  const mask = new Uint8Array(size.width * size.height)
  for (let row = 0; row < size.height; row++) {
    const axial = axialOfS(surface, surface.totalS * (1 - (row + 0.5) / size.height))
    const onCylinder = axial > surface.frontTangentZ + marginMm && axial < surface.rearTangentZ - marginMm
    for (let column = 0; column < size.width; column++) {
      const i = row * size.width + column
      const angle = ((column + 0.5) / size.width) * 2 * Math.PI - towards
      const off = Math.abs(angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI)))
      grey[i] = 0.299 * map.rgba[4 * i] + 0.587 * map.rgba[4 * i + 1] + 0.114 * map.rgba[4 * i + 2]
      mask[i] = onCylinder && map.rgba[4 * i + 3] > 0 && off < (steepestDeg * Math.PI) / 180 && grey[i] < glareGrey ? 1 : 0
    }
  }
  return { ...size, pxPerMm, grey, mask }
}
