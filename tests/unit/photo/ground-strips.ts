/** Strips of a made-up ground journal as photographs from different sides would be rolled out, with known turns between them. */
import { surfaceOf } from '../../../lib/journal/surface'
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
  const { ground, seed = 1, lamps = 0, lampLean = 0, slideMm = 0, hole = null } = view
  const noise = noiseFrom(seed)
  const grey = new Float32Array(stripWidth * stripHeight)
  const mask = new Uint8Array(grey.length)
  for (let column = 0; column < stripWidth; column++) {
    const own = ((column + 0.5) / stripWidth) * 2 * Math.PI
    const off = own - facing
    if (Math.abs(off) > 1.1) continue
    const theta = own + turnOf(view)
    for (let row = 0; row < stripHeight; row++) {
      const s = along * (1 - (row + 0.5) / stripHeight) + slideMm
      const still = lamps * lampAt(off + lampLean * (s - along / 2))
      const i = row * stripWidth + column
      const inHole = hole && Math.hypot(radius * wrapped(theta - (hole.angleDeg * Math.PI) / 180), s - hole.s) < hole.radius
      grey[i] = (inHole ? 26 : ground(theta, s) + still) * (0.4 + 0.6 * Math.cos(off)) + 2 * noise.normal()
      mask[i] = row > 0.08 * stripHeight && row < 0.92 * stripHeight ? 1 : 0
    }
  }
  return { width: stripWidth, height: stripHeight, pxPerMm, grey, mask }
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
