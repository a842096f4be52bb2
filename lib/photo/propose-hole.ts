/**
 * The oil hole in a photograph whose pose is known but for the roll and, perhaps, which end is the front: a dark mouth with brighter metal around it,
 * at the place along the axis that the sizes tell. Looked for on the unrolled journal, one ring of places at a time.
 */
import { type Surface, sOfAxial, surfacePoint } from '../journal/surface'
import type { OilHole } from '../model/journal'
import { type Camera, project } from './camera'
import type { Facing } from './propose-curves'
import { greyAt, type Patch } from './snap-profile'

export type FoundHole = {
  /** Middle of the dark place, px, and on the journal of the camera's own roll and sense. */
  center: [number, number]
  theta: number
  axial: number
  /** How much darker than around it, as a share of the brightness around. */
  darkness: number
}

const leastDarkness = 0.45

/** The darkest place that looks like the hole's mouth, within `slackMm` of one of the given axial places; null: none in sight. */
export function darkMouth(
  surface: Surface,
  camera: Camera,
  facing: Facing,
  hole: OilHole,
  axials: readonly number[],
  slackMm: number,
  patch: Patch,
): FoundHole | null {
  const radiusMm = (hole.mouthAround + hole.mouthAlong) / 4
  const stepMm = radiusMm / 3
  const stepTheta = stepMm / surface.radius
  let best: { theta: number; axial: number; darkness: number } | null = null
  for (const middle of axials) {
    for (let axial = middle - slackMm; axial <= middle + slackMm + 1e-9; axial += stepMm) {
      for (let theta = facing.middle - 0.85 * facing.half; theta <= facing.middle + 0.85 * facing.half; theta += stepTheta) {
        const darkness = darknessAt(surface, camera, theta, axial, radiusMm, patch)
        if (darkness !== null && (!best || darkness > best.darkness)) best = { theta, axial, darkness }
      }
    }
  }
  if (!best || best.darkness < leastDarkness) return null
  const settled = middleOfDark(surface, camera, best.theta, best.axial, radiusMm, patch)
  const pixel = project(camera, surfacePoint(surface, { theta: settled.theta, s: sOfAxial(surface, settled.axial) }))
  return pixel && { center: [pixel.u, pixel.v], ...settled, darkness: best.darkness }
}

/** How much darker the middle is than a ring around the mouth; the darkest part of the ring counts, so that a shadow's edge is no hole. */
function darknessAt(surface: Surface, camera: Camera, theta: number, axial: number, radiusMm: number, patch: Patch): number | null {
  let inside = 0
  for (let k = 0; k < 5; k++) {
    const grey = greyOn(surface, camera, theta, axial, k === 0 ? 0 : 0.25 * radiusMm, k * (Math.PI / 2), patch)
    if (grey === null) return null
    inside += grey / 5
  }
  let around = Number.POSITIVE_INFINITY
  for (let k = 0; k < 12; k++) {
    const grey = greyOn(surface, camera, theta, axial, 1.35 * radiusMm, (k * Math.PI) / 6, patch)
    if (grey === null) return null
    around = Math.min(around, grey)
  }
  return around > 4 ? 1 - inside / around : 0
}

/** The weighted middle of what is dark within the mouth, twice. */
function middleOfDark(surface: Surface, camera: Camera, theta: number, axial: number, radiusMm: number, patch: Patch) {
  let at = { theta, axial }
  for (let round = 0; round < 3; round++) {
    const places: { x: number; z: number; grey: number }[] = []
    for (let i = -8; i <= 8; i++) {
      for (let k = -8; k <= 8; k++) {
        const x = (i / 8) * radiusMm
        const z = (k / 8) * radiusMm
        if (Math.hypot(x, z) > radiusMm) continue
        const grey = greyOn(surface, camera, at.theta, at.axial, Math.hypot(x, z), Math.atan2(z, x), patch)
        if (grey !== null) places.push({ x, z, grey })
      }
    }
    const greys = places.map(({ grey }) => grey).sort((a, b) => a - b)
    const limit = 0.5 * (greys[0] + greys[greys.length - 1])
    let weight = 0
    let [sumX, sumZ] = [0, 0]
    for (const { x, z, grey } of places) {
      const w = Math.max(0, limit - grey)
      weight += w
      sumX += w * x
      sumZ += w * z
    }
    if (weight === 0) return at
    at = { theta: at.theta + sumX / weight / surface.radius, axial: at.axial + sumZ / weight }
  }
  return at
}

function greyOn(
  surface: Surface,
  camera: Camera,
  theta: number,
  axial: number,
  radiusMm: number,
  direction: number,
  patch: Patch,
): number | null {
  const z = axial + radiusMm * Math.sin(direction)
  const around = theta + (radiusMm * Math.cos(direction)) / surface.radius
  const seen = project(camera, [surface.radius * Math.cos(around), surface.radius * Math.sin(around), z])
  return seen && greyAt(patch, seen.u, seen.v)
}
