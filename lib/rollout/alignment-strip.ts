/** One photograph rolled out for comparing with others: the cylinder alone, seen within 70 degrees of the normal, glare left out. */
import { axialOfS, type Surface } from '../journal/surface'
import { cameraPlace } from '../photo/camera'
import { isUltraviolet } from '../photo/propose-planes'
import type { GreyStrip } from '../photo/texture'
import type { Kernel } from './kernel'
import { type RolloutView, rollout } from './rollout'

/** Around the turn; a power of two, as the comparison by Fourier transforms wants it. */
const stripWidth = 2048
const steepestDeg = 70
const glareGrey = 235
/** Under ultraviolet the particles' green glow stands on an even grey, beside which the noise of the dark steel is next to nothing. */
const glowGrey = 180
const glowShare = 0.5
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
  const glowing = underUltraviolet(map.rgba)
  for (let row = 0; row < size.height; row++) {
    const axial = axialOfS(surface, surface.totalS * (1 - (row + 0.5) / size.height))
    const onCylinder = axial > surface.frontTangentZ + marginMm && axial < surface.rearTangentZ - marginMm
    for (let column = 0; column < size.width; column++) {
      const i = row * size.width + column
      const angle = ((column + 0.5) / size.width) * 2 * Math.PI - towards
      const off = Math.abs(angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI)))
      const [red, green, blue] = [map.rgba[4 * i], map.rgba[4 * i + 1], map.rgba[4 * i + 2]]
      grey[i] = glowing ? Math.min(glareGrey - 1, glowGrey + glowShare * (green - blue)) : 0.299 * red + 0.587 * green + 0.114 * blue
      mask[i] = onCylinder && map.rgba[4 * i + 3] > 0 && off < (steepestDeg * Math.PI) / 180 && grey[i] < glareGrey ? 1 : 0
    }
  }
  return { ...size, pxPerMm, grey, mask }
}

/** Nearly all of what is seen lacks red; a rag or a glove in the way may do so too, but hides only a part. */
function underUltraviolet(rgba: ArrayLike<number>): boolean {
  let [seen, violet] = [0, 0]
  for (let i = 0; i < rgba.length; i += 4 * sampleStep) {
    if (rgba[i + 3] === 0) continue
    seen++
    if (isUltraviolet(rgba[i], rgba[i + 1], rgba[i + 2])) violet++
  }
  return violet > leastViolet * seen
}

const sampleStep = 97
const leastViolet = 0.8
