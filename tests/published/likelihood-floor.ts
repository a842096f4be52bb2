/**
 * What the picks themselves allow: a maximum-likelihood fit of a rendered case's handles, set out from the true camera, by mathematics
 * that shares nothing with `lib`. A side pick's ray should touch the cylinder (its distance from the axis less R, turned into pixels by
 * its slope over the picture), a ring pick lies on the projected circle (nearest place found again for every trial), hole and clock
 * picks are plain reprojections. Unknowns: a turn and a shift of the true camera, ln f and k1 where the file does not tell them.
 * Gauss-Newton with derivatives by small steps and halved steps where the sum of squares would grow.
 */
import type { RenderedCase } from '../fixtures/render/cases'
import { type DrawnLine, holeArc, type TrueNumbers, trueNumbers } from '../fixtures/render/drawn-line'
import type { RingName } from '../fixtures/render/handles'
import { endDepth, firstHit, type Metal, placeOf, type Vector } from '../fixtures/render/metal'
import { dot, lookThrough, type Pinhole, pixelOf } from '../fixtures/render/pinhole'

/** A phone's main camera where nothing is known (26 mm equivalent, 30 % on its logarithm), and its distortion: the file format's priors. */
const usual = { equivalentMm: 26, logSigma: 0.3, k1Sigma: 0.05 }

type Residual = (camera: Pinhole) => number[]

/** The most likely camera for the handles of a case; null where the search breaks down. */
export function likeliestCamera({ inspection, metal, camera }: RenderedCase): Pinhole | null {
  const [photo] = inspection.photos
  const sigma = photo.pickSigmaPx
  const residuals: Residual[] = [
    ...photo.handles.sides.flat().map(
      (pick): Residual =>
        (c) => [touch(metal, c, pick) / sigma],
    ),
    ...photo.handles.rings.flatMap(({ at, points }) => points.map((pick) => onRing(metal, at, pick, sigma))),
    ...photo.handles.oilHoles.flatMap(({ id, center }): Residual[] => {
      const hole = metal.holes.find((h) => h.id === id)
      return hole ? [onPlace(placeOf(metal, (hole.angleDeg * Math.PI) / 180, holeArc(metal, hole)), center, sigma)] : []
    }),
    ...photo.handles.clock.map(({ angleDeg, axial, point }) => onPlace(onCylinder(metal, angleDeg, axial), point, sigma)),
  ]
  const usualFocalPx = (usual.equivalentMm * Math.hypot(camera.width, camera.height)) / 43.267
  if (photo.focalPx === null) residuals.push((c) => [Math.log(c.focalPx / usualFocalPx) / usual.logSigma])
  if (photo.k1 === null) residuals.push((c) => [c.k1 / usual.k1Sigma])
  const free = [0, 1, 2, 3, 4, 5, ...(photo.focalPx === null ? [6] : []), ...(photo.k1 === null ? [7] : [])]
  return gaussNewton(camera, free, (c) => residuals.flatMap((residual) => residual(c)))
}

/** A mark's numbers as they read when its pixels are looked at through a camera; null where a pixel misses the journal. */
export function numbersThrough(
  { metal }: RenderedCase,
  camera: Pinhole,
  pixels: readonly (readonly [number, number])[],
): TrueNumbers | null {
  const vertices: DrawnLine['vertices'] = []
  for (const [u, v] of pixels) {
    const hit = firstHit(metal, camera.centre, lookThrough(camera, u, v))
    if (hit?.part !== 'journal') return null
    const before = vertices.at(-1)?.theta ?? hit.theta
    vertices.push({ theta: before + Math.atan2(Math.sin(hit.theta - before), Math.cos(hit.theta - before)), s: hit.s })
  }
  return trueNumbers(metal, { id: 'seen', widthMm: 0, vertices })
}

/** How far a pick's ray passes the cylinder, as pixels: the distance from the axis less R over its change per pixel. */
function touch(metal: Metal, camera: Pinhole, [u, v]: readonly [number, number]): number {
  const passing = (atU: number, atV: number) => {
    const look = lookThrough(camera, atU, atV)
    return Math.abs(camera.centre[0] * look[1] - camera.centre[1] * look[0]) / Math.hypot(look[0], look[1]) - metal.radius
  }
  const byU = passing(u + 0.5, v) - passing(u - 0.5, v)
  const byV = passing(u, v + 0.5) - passing(u, v - 0.5)
  return passing(u, v) / Math.hypot(byU, byV)
}

function onRing(metal: Metal, at: RingName, [u, v]: readonly [number, number], sigma: number): Residual {
  const end = at.startsWith('front') ? metal.front : metal.rear
  const atCheek = at.endsWith('cheek')
  const inset = atCheek ? 0 : endDepth(end)
  const z = at.startsWith('front') ? inset : metal.width - inset
  const rho = metal.radius + (atCheek && end.form === 'tangent' ? end.radius : 0)
  let angle: number | null = null
  return (camera) => {
    const seen = (theta: number) => pixelOf(camera, [rho * Math.cos(theta), rho * Math.sin(theta), z]) ?? [Infinity, Infinity]
    const miss = (theta: number) => Math.hypot(u - seen(theta)[0], v - seen(theta)[1])
    angle ??= nearestOfMany(camera, miss)
    const step = 1e-4
    let [tu, tv] = [0, 0]
    for (let i = 0; i < 4; i++) {
      const [forth, back, here] = [seen(angle + step), seen(angle - step), seen(angle)]
      tu = (forth[0] - back[0]) / (2 * step)
      tv = (forth[1] - back[1]) / (2 * step)
      angle += (tu * (u - here[0]) + tv * (v - here[1])) / (tu * tu + tv * tv)
    }
    const [hereU, hereV] = seen(angle)
    return [(-tv * (u - hereU) + tu * (v - hereV)) / Math.hypot(tu, tv) / sigma]
  }
}

/** The best of many places on the half of a ring that faces the camera. */
function nearestOfMany(camera: Pinhole, miss: (theta: number) => number): number {
  const middle = Math.atan2(camera.centre[1], camera.centre[0])
  let best = middle
  for (let k = -180; k <= 180; k++) {
    const theta = middle + (k * Math.PI) / 360
    if (miss(theta) < miss(best)) best = theta
  }
  return best
}

function onPlace(place: Vector, [u, v]: readonly [number, number], sigma: number): Residual {
  return (camera) => {
    const [seenU, seenV] = pixelOf(camera, place) ?? [Infinity, Infinity]
    return [(u - seenU) / sigma, (v - seenV) / sigma]
  }
}

function onCylinder(metal: Metal, angleDeg: number, axial: number): Vector {
  const theta = (angleDeg * Math.PI) / 180
  return [metal.radius * Math.cos(theta), metal.radius * Math.sin(theta), axial]
}

/** The camera turned by (p0, p1, p2) about its own axes, shifted by (p3, p4, p5) mm along them, its focal length times exp(p6), k1 more by p7. */
function moved(camera: Pinhole, p: readonly number[]): Pinhole {
  const { right, down, ahead, centre } = camera
  const mix = (a: number, b: number, c: number): Vector =>
    [0, 1, 2].map((i) => a * right[i] + b * down[i] + c * ahead[i]) as unknown as Vector
  const turned = (v: Vector): Vector => {
    const axis = mix(p[0], p[1], p[2])
    const angle = Math.sqrt(dot(axis, axis))
    if (angle === 0) return v
    const k = axis.map((x) => x / angle) as unknown as Vector
    const across: Vector = [k[1] * v[2] - k[2] * v[1], k[2] * v[0] - k[0] * v[2], k[0] * v[1] - k[1] * v[0]]
    const along = dot(k, v) * (1 - Math.cos(angle))
    return [0, 1, 2].map((i) => v[i] * Math.cos(angle) + across[i] * Math.sin(angle) + k[i] * along) as unknown as Vector
  }
  const shift = mix(p[3], p[4], p[5])
  return {
    ...camera,
    right: turned(right),
    down: turned(down),
    ahead: turned(ahead),
    centre: [centre[0] + shift[0], centre[1] + shift[1], centre[2] + shift[2]],
    focalPx: camera.focalPx * Math.exp(p[6]),
    k1: camera.k1 + p[7],
  }
}

const steps = [1e-5, 1e-5, 1e-5, 1e-3, 1e-3, 1e-3, 1e-5, 1e-5]

function gaussNewton(start: Pinhole, free: readonly number[], residualsAt: (camera: Pinhole) => number[]): Pinhole | null {
  const squares = (values: readonly number[]) => values.reduce((sum, r) => sum + r * r, 0)
  let camera = start
  let residuals = residualsAt(camera)
  for (let round = 0; round < 30; round++) {
    const columns = free.map((slot) => {
      const at = (sign: number) =>
        residualsAt(
          moved(
            camera,
            steps.map((step, i) => (i === slot ? sign * step : 0)),
          ),
        )
      const [forth, back] = [at(1), at(-1)]
      return residuals.map((_, i) => (forth[i] - back[i]) / (2 * steps[slot]))
    })
    const step = solved(
      columns.map((a) => columns.map((b) => a.reduce((sum, value, i) => sum + value * b[i], 0))),
      columns.map((a) => -a.reduce((sum, value, i) => sum + value * residuals[i], 0)),
    )
    if (!step) return null
    let gained = 0
    for (let share = 1; share > 1e-3 && gained === 0; share /= 2) {
      const whole = steps.map((_, i) => (free.includes(i) ? share * step[free.indexOf(i)] : 0))
      const trial = moved(camera, whole)
      const after = residualsAt(trial)
      if (!(squares(after) <= squares(residuals))) continue
      gained = squares(residuals) - squares(after)
      camera = trial
      residuals = after
    }
    if (gained < 1e-9 * squares(residuals)) break
  }
  return squares(residuals) < Infinity ? camera : null
}

/** Gauss's elimination with the largest pivot of each column; null for a singular matrix. */
function solved(matrix: number[][], right: number[]): number[] | null {
  const n = right.length
  const rows = matrix.map((row, i) => [...row, right[i]])
  for (let k = 0; k < n; k++) {
    let pivot = k
    for (let i = k + 1; i < n; i++) if (Math.abs(rows[i][k]) > Math.abs(rows[pivot][k])) pivot = i
    ;[rows[k], rows[pivot]] = [rows[pivot], rows[k]]
    if (!(Math.abs(rows[k][k]) > 0)) return null
    for (let i = k + 1; i < n; i++) {
      const factor = rows[i][k] / rows[k][k]
      for (let j = k; j <= n; j++) rows[i][j] -= factor * rows[k][j]
    }
  }
  const x = new Array<number>(n).fill(0)
  for (let k = n - 1; k >= 0; k--) {
    let value = rows[k][n]
    for (let j = k + 1; j < n; j++) value -= rows[k][j] * x[j]
    x[k] = value / rows[k][k]
  }
  return x
}
