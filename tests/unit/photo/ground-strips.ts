/** Strips of a made-up ground journal as photographs from different sides would be rolled out, with known turns between them. */
import { surfaceOf } from '../../../lib/journal/surface'
import { type GlowStrip, searchColumns } from '../../../lib/photo/glow-strip'
import { type GreyStrip, type TextureStrip, textureOf } from '../../../lib/photo/texture'
import { groundOf, type GroundOptions } from '../../fixtures/render/ground'
import { noiseFrom } from '../../fixtures/render/noise'

export const stripWidth = 1024
export const radius = 25
export const along = 24
export const stripSurface = surfaceOf({
  diameter: 2 * radius,
  width: along,
  fillets: { front: { form: 'step' }, rear: { form: 'step' } },
})
const girth = 2 * Math.PI * radius
export const pxPerMm = stripWidth / girth
export const stripHeight = 2 * Math.round((along * pxPerMm) / 2)
/** Strips are seen from the middle of their width. */
export const facing = Math.PI

export type View = {
  ground: (theta: number, s: number) => number
  /** The journal's angle at the middle of the strip, degrees. */
  facingDeg: number
  seed?: number
  /** Streaks that stand still in front of the camera, grey levels. */
  lamps?: number
  /** How far those streaks lean, radians around the journal per mm along it. */
  lampLean?: number
  /** Slid along the axis, mm. */
  slideMm?: number
  hole?: { angleDeg: number; s: number; radius: number } | null
}

export function groundOfSeed(seed: number, options: Partial<GroundOptions> = {}) {
  return groundOf(seed, girth, along, options)
}

/** What must be added to this strip's own angles to have the journal's, radians. */
export function turnOf({ facingDeg }: View): number {
  return (facingDeg * Math.PI) / 180 - facing
}

export function greyStrip(view: View): GreyStrip {
  const noise = noiseFrom(view.seed ?? 1)
  const grey = new Float32Array(stripWidth * stripHeight)
  const mask = new Uint8Array(grey.length)
  for (let column = 0; column < stripWidth; column++) {
    const own = ((column + 0.5) / stripWidth) * 2 * Math.PI
    if (Math.abs(own - facing) > 1.1) continue
    for (let row = 0; row < stripHeight; row++) {
      const i = row * stripWidth + column
      grey[i] = greySeen(view, own, along * (1 - (row + 0.5) / stripHeight)) + 2 * noise.normal()
      mask[i] = row > 0.08 * stripHeight && row < 0.92 * stripHeight ? 1 : 0
    }
  }
  return { width: stripWidth, height: stripHeight, pxPerMm, grey, mask }
}

/** As far around as a photograph shows anything, to 80 degrees from the normal. */
export function glowStrip(view: View, columns = searchColumns): GlowStrip {
  const noise = noiseFrom((view.seed ?? 1) + 1000)
  const [first, width] = [columns / 4, columns / 2]
  const step = { around: girth / columns, along: along / Math.round((along * columns) / girth) }
  const height = Math.round(along / step.along)
  const grey = new Float32Array(width * height).fill(Number.NaN)
  const cosine = new Float32Array(grey.length)
  for (let column = 0; column < width; column++) {
    const own = ((first + column + 0.5) / columns) * 2 * Math.PI
    if (Math.abs(own - facing) > 1.4) continue
    for (let row = 0; row < height; row++) {
      const i = row * width + column
      grey[i] = greySeen(view, own, (row + 0.5) * step.along) + 2 * noise.normal()
      cosine[i] = Math.cos(own - facing)
    }
  }
  return { columns, first, width, height, step, grey, cosine }
}

/** At an angle of the strip's own. */
function greySeen(view: View, own: number, s: number): number {
  const { ground, lamps = 0, lampLean = 0, slideMm = 0, hole = null } = view
  const off = own - facing
  const theta = own + turnOf(view)
  const at = s + slideMm
  const inHole = hole && Math.hypot(radius * wrapped(theta - (hole.angleDeg * Math.PI) / 180), at - hole.s) < hole.radius
  const still = lamps * lampAt(off + lampLean * (at - along / 2))
  return (inHole ? 26 : ground(theta, at) + still) * (0.4 + 0.6 * Math.cos(off))
}

function lampAt(off: number): number {
  if (Math.abs(off - 0.31) < 0.05) return 1
  if (Math.abs(off + 0.2) < 0.02) return -1
  return Math.abs(off + 0.6) < 0.08 ? 0.7 : 0
}

export function strip(view: View): TextureStrip {
  return textureOf(greyStrip(view))
}

export function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI))
}

/** Brightness of a surface on which dirt and particles hang in patches of a few mm. */
export function patchesOfSeed(seed: number): View['ground'] {
  const noise = noiseFrom(seed)
  const patches = Array.from({ length: 90 }, () => ({
    theta: noise.uniform(0, 2 * Math.PI),
    s: noise.uniform(0, along),
    size: noise.uniform(0.5, 2.2),
    bright: noise.uniform(10, 40),
  }))
  return (theta, s) => {
    let glow = 40
    for (const { theta: middle, s: at, size, bright } of patches) {
      const far = Math.hypot(radius * wrapped(theta - middle), s - at)
      if (far < size + 0.2) glow += bright * Math.min(1, (size + 0.2 - far) / 0.4)
    }
    return glow
  }
}
