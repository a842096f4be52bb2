/**
 * Curves of the journal as a fitted photograph shows them, in px: rings, generators, the apparent sides, oil holes and bands, marks. Only what
 * faces the camera and no cheek hides is drawn; a curve that goes out of sight and comes back gives several lines.
 *
 * The sides of the cylinder are the generators whose tangent plane passes through the camera: theta = phi +- acos(R / d), with the camera at
 * angle phi and distance d from the axis.
 */
import { type MapPoint, type Surface, surfacePoint } from '@/lib/journal/surface'
import { type Camera, cameraPlace, type PhotoPoint, project } from '@/lib/photo/camera'
import { emptyPointView, rowView, viewPoint } from '@/lib/photo/row-view'

/** The visible parts of a curve on the map. Points should lie close together: a bend is not refined. */
export function visibleCurves(surface: Surface, camera: Camera, points: readonly MapPoint[]): PhotoPoint[][] {
  const curves: PhotoPoint[][] = []
  let open: PhotoPoint[] | null = null
  for (const point of points) {
    const seen = visiblePixel(surface, camera, point)
    if (!seen) open = null
    else if (open) open.push(seen)
    else {
      open = [seen]
      curves.push(open)
    }
  }
  return curves.filter((curve) => curve.length > 1)
}

/** Where a place of the map is seen; null where it faces away or a cheek hides it. */
export function visiblePixel(surface: Surface, camera: Camera, point: MapPoint): PhotoPoint | null {
  const view = emptyPointView()
  if (!viewPoint(rowView(surface, camera, point.s), Math.cos(point.theta), Math.sin(point.theta), view)) return null
  return view.cheekMargin < 0 ? null : { u: view.u, v: view.v }
}

/** The two generators between which the cylinder faces the camera, radians, first before second; null from within the metal. */
export function facingRange(surface: Surface, camera: Camera): { from: number; to: number } | null {
  const [x, y] = cameraPlace(camera)
  const distance = Math.hypot(x, y)
  if (distance <= surface.radius) return null
  const half = Math.acos(surface.radius / distance)
  const middle = Math.atan2(y, x)
  return { from: middle - half, to: middle + half }
}

/** The apparent sides of the cylinder from tangent line to tangent line. */
export function sideCurves(surface: Surface, camera: Camera): PhotoPoint[][] {
  const range = facingRange(surface, camera)
  if (!range) return []
  return [range.from, range.to].map((theta) =>
    unhidden(surface, camera, alongGenerator(surface, theta, surface.frontTangentS, surface.rearTangentS)),
  )
}

/** A ring at a meridian place, the part of it that is seen. */
export function ringCurve(surface: Surface, camera: Camera, s: number): PhotoPoint[][] {
  const range = facingRange(surface, camera)
  if (!range) return []
  const middle = (range.from + range.to) / 2
  const points = Array.from({ length: 181 }, (_, index) => ({ theta: middle - Math.PI / 2 + (Math.PI * index) / 180, s }))
  return visibleCurves(surface, camera, points)
}

/** The region between two rings as one outline, over the angles that face the camera. */
export function bandOutline(surface: Surface, camera: Camera, fromS: number, toS: number): PhotoPoint[] {
  const range = facingRange(surface, camera)
  if (!range) return []
  const steps = 48
  const along = (s: number) =>
    Array.from({ length: steps + 1 }, (_, index) => ({ theta: range.from + ((range.to - range.from) * index) / steps, s }))
  const end = (theta: number, from: number, to: number) => alongGenerator(surface, theta, from, to)
  const outline = [...along(fromS), ...end(range.to, fromS, toS), ...along(toS).reverse(), ...end(range.from, toS, fromS)]
  return unhidden(surface, camera, outline)
}

/** The box of the photograph that holds the fitted journal, px; null where none of it is in front of the camera. */
export function journalBox(surface: Surface, camera: Camera): { x: number; y: number; width: number; height: number } | null {
  const outline = bandOutline(surface, camera, 0, surface.totalS)
  if (outline.length < 3) return null
  const us = outline.map((point) => point.u)
  const vs = outline.map((point) => point.v)
  const x = Math.max(0, Math.min(...us))
  const y = Math.max(0, Math.min(...vs))
  const width = Math.min(camera.width, Math.max(...us)) - x
  const height = Math.min(camera.height, Math.max(...vs)) - y
  return width > 0 && height > 0 ? { x, y, width, height } : null
}

/** Every whole step of degrees that faces the camera: its generator, and where it meets the front tangent line. */
export function degreeTicks(surface: Surface, camera: Camera, stepDeg: number): { angleDeg: number; generator: PhotoPoint[] }[] {
  const range = facingRange(surface, camera)
  if (!range) return []
  const step = (stepDeg * Math.PI) / 180
  const first = Math.ceil(range.from / step + 0.45)
  const last = Math.floor(range.to / step - 0.45)
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => (first + index) * step).flatMap((theta) => {
    const generator = visibleCurves(surface, camera, alongGenerator(surface, theta, surface.frontTangentS, surface.rearTangentS))[0]
    const angleDeg = ((Math.round((theta * 180) / Math.PI) % 360) + 360) % 360
    return generator ? [{ angleDeg, generator }] : []
  })
}

/** A polyline of the map with its stretches divided, so that it bends with the metal in a photograph. */
export function divided(points: readonly MapPoint[], closed: boolean, radius: number, stepMm = 0.8): MapPoint[] {
  const first = points[0]
  if (!first) return []
  const last = closed ? points.length : points.length - 1
  const out: MapPoint[] = [first]
  for (let index = 0; index < last; index++) {
    const from = points[index] as MapPoint
    const to = points[(index + 1) % points.length] as MapPoint
    const steps = Math.max(1, Math.ceil(Math.hypot((to.theta - from.theta) * radius, to.s - from.s) / stepMm))
    for (let step = 1; step <= steps; step++) {
      const share = step / steps
      out.push({ theta: from.theta + (to.theta - from.theta) * share, s: from.s + (to.s - from.s) * share })
    }
  }
  return out
}

function alongGenerator(surface: Surface, theta: number, fromS: number, toS: number): MapPoint[] {
  const steps = 24
  return Array.from({ length: steps + 1 }, (_, index) => ({ theta, s: fromS + ((toS - fromS) * index) / steps })).filter(
    ({ s }) => s >= 0 && s <= surface.totalS,
  )
}

/** Points at the very edge of what faces the camera: rounding must not hide them. */
function unhidden(surface: Surface, camera: Camera, points: readonly MapPoint[]): PhotoPoint[] {
  return points.flatMap((point) => project(camera, surfacePoint(surface, point)) ?? [])
}

/** A place on each cheek, where the camera looks at it: for the words that tell front from rear. Null: out of view. */
export function cheekPlaces(surface: Surface, camera: Camera): { front: PhotoPoint | null; rear: PhotoPoint | null } {
  const [x, y] = cameraPlace(camera)
  const theta = Math.atan2(y, x)
  const at = (s: number) => {
    const [px, py, pz] = surfacePoint(surface, { theta, s })
    const out = 0.22 * surface.radius
    return project(camera, [px + out * Math.cos(theta), py + out * Math.sin(theta), pz])
  }
  return { front: at(0), rear: at(surface.totalS) }
}
