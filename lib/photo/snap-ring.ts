/**
 * Where a tangent line runs beneath a held point, in white light: a faint kink of the shading that highlights bend, so that brightness across it
 * misleads. The outline of the whole journal tells it instead, from a fit that is nearly right. Nothing is caught where it does not tell.
 */
import { ringOf, type Surface } from '../journal/surface'
import { type Camera, type PhotoPoint, pixelRay, project } from './camera'
import { facingOf } from './propose-curves'
import { type ColourGrid, outlineJudge, slidCamera } from './propose-outline'
import { outlineSlide } from './propose-outlined'
import { outlineFit } from './propose-outline-fit'
import { cameraOfGuess, guessOfCamera } from './propose-pose'
import { nearCylinderHit } from './unproject'

export type FilletRing = 'front-fillet' | 'rear-fillet'

/** How far along the axis from the held point the journal is looked for, mm; and the step. */
const reachMm = 1.5
const stepMm = 0.05
/** What must speak for the place found: log evidence above any other's, corners, the worst standard deviation. */
const clearLead = 0.15
const leastCorners = 2
const worstSigmaMm = 0.45

/** A fit that tells a distance from a tangent line to this, mm, holds its pose but for the place along the axis: by each move, px of a picture 2400 px wide. */
const wellKnownMm = 0.08
const knownPx = [30, 0.7, 0.7, 0.7, 1.5]

/**
 * The camera under which the outline agrees with the picture, the held point being near a ring; null where the outline does not tell.
 * @param filletSigmaMm how well the camera's fit tells a distance from a tangent line; null: not at all
 */
export function outlinedCamera(
  surface: Surface,
  camera: Camera,
  filletSigmaMm: number | null,
  grid: ColourGrid,
  ring: FilletRing,
  near: PhotoPoint,
): Camera | null {
  const { origin, direction } = pixelRay(camera, near)
  const t = nearCylinderHit(origin, direction, surface.radius)
  if (t === null) return null
  const held = slidCamera(camera, origin[2] + t * direction[2] - ringOf(surface, ring).axial)
  const { slideMm, lead } = outlineSlide(outlineJudge(surface, grid), surface, held, reachMm, stepMm)
  if (lead < clearLead) return null
  const start = guessOfCamera(slidCamera(held, slideMm), surface)
  const found =
    start && outlineFit(surface, camera, grid, start, 'whole', null, filletSigmaMm !== null && filletSigmaMm < wellKnownMm ? knownPx : null)
  if (!found || found.slideSigmaMm > worstSigmaMm) return null
  if (found.corners.filter((share) => share >= 0.5).length < leastCorners) return null
  return cameraOfGuess(found.guess, surface, camera)
}

/** The place of a ring nearest to a held point, within `reachPx`; null where none is. */
export function nearestOnRing(surface: Surface, camera: Camera, ring: FilletRing, at: PhotoPoint, reachPx: number): PhotoPoint | null {
  const facing = facingOf(surface, camera)
  if (!facing) return null
  const { axial, radius } = ringOf(surface, ring)
  const seen = Array.from({ length: places + 1 }, (_, i) => {
    const theta = facing.middle + (i / places - 0.5) * 2 * facing.half
    return project(camera, [radius * Math.cos(theta), radius * Math.sin(theta), axial])
  })
  let best: PhotoPoint | null = null
  let nearest = reachPx
  for (let i = 1; i < seen.length; i++) {
    const [a, b] = [seen[i - 1], seen[i]]
    if (!a || !b) continue
    const [du, dv] = [b.u - a.u, b.v - a.v]
    const square = du * du + dv * dv
    const k = square > 0 ? Math.max(0, Math.min(1, ((at.u - a.u) * du + (at.v - a.v) * dv) / square)) : 0
    const place = { u: a.u + k * du, v: a.v + k * dv }
    const distance = Math.hypot(place.u - at.u, place.v - at.v)
    if (distance > nearest) continue
    nearest = distance
    best = place
  }
  return best
}

const places = 96
