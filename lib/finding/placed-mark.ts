/** A mark with its place on the map, from the map itself or through its photograph's fit. */
import { alongOf } from '../journal/inspection-check'
import { independentCovariance } from '../journal/mark-measure'
import { axialOfS, type MapPoint, type Surface } from '../journal/surface'
import { defaultMapSigmaMm, type Mark } from '../model/mark'
import { done, failed, type Result } from '../model/result'
import type { Fit } from '../photo/cylinder-fit'
import { verticesCovariance } from '../photo/map-covariance'
import { studentBound95 } from '../photo/quantiles'
import { pixelToMap } from '../photo/unproject'

export type PlacedMark = {
  mark: Mark
  surface: Surface
  vertices: MapPoint[]
  covariance: Float64Array
  /** Noise of a single pick on the map, mm. */
  pickSigmaMm: number
  /** Sigmas of a one-sided 95 % bound. */
  boundFactor: number
  trusted: boolean
  /** False where the photograph's handles contradict each other: its geometry then says nothing. */
  consistent: boolean
  rollKnown: boolean
  slideKnown: boolean
  points: { angleDeg: number; axial: number | null; s: number | null }[]
}

export type PlacementFailure = { code: 'no-fit' } | { code: 'off-journal'; pixel: number } | { code: 'grazing' }

export function placeMark(surface: Surface, mark: Mark, fit: Fit | null, normalBound: number): Result<PlacedMark, PlacementFailure> {
  if (mark.points) return done(onMap(surface, mark, mark.points, normalBound))
  if (!fit || !mark.pixels) return failed({ code: 'no-fit' })
  const vertices: MapPoint[] = []
  for (let i = 0; i < mark.pixels.length; i++) {
    const hit = nearestHit(fit, mark.pixels[i])
    if (!hit) return failed({ code: 'off-journal', pixel: i })
    vertices.push(unwrapped(hit, vertices[i - 1]))
  }
  const covariance = verticesCovariance(fit, vertices, fit.pickSigmaPx)
  const ownNoise = verticesCovariance({ ...fit, covariance: new Float64Array(fit.covariance.length) }, vertices, fit.pickSigmaPx)
  if (!covariance || !ownNoise) return failed({ code: 'grazing' })
  const size = 2 * vertices.length + 2
  const extra = (mark.sigmaMm ?? 0) ** 2
  let trace = 0
  for (let i = 0; i < 2 * vertices.length; i++) {
    covariance[i * size + i] += extra
    trace += ownNoise[i * size + i] + extra
  }
  return done({
    mark,
    surface: fit.surface,
    vertices,
    covariance,
    pickSigmaMm: Math.sqrt(trace / (2 * vertices.length)),
    boundFactor: fit.degreesOfFreedom < 30 ? studentBound95(fit.degreesOfFreedom) : normalBound,
    trusted: fit.trusted,
    consistent: fit.residualsWithinRange,
    rollKnown: fit.rollKnown,
    slideKnown: fit.slideKnown,
    points: vertices.map((v) => ({
      angleDeg: degrees(v.theta),
      axial: fit.slideKnown ? axialOfS(fit.surface, v.s) : null,
      s: fit.slideKnown ? v.s : null,
    })),
  })
}

function onMap(surface: Surface, mark: Mark, points: NonNullable<Mark['points']>, normalBound: number): PlacedMark {
  const along = points.map((p) => alongOf(surface, p))
  const vertices = points.map((p, i) => ({ theta: (p.angleDeg * Math.PI) / 180, s: along[i].s }))
  const sigma = mark.sigmaMm ?? defaultMapSigmaMm
  return {
    mark,
    surface,
    vertices,
    covariance: independentCovariance(
      surface,
      vertices,
      sigma,
      points.map((p) => 'axial' in p),
    ),
    pickSigmaMm: sigma,
    boundFactor: normalBound,
    trusted: true,
    consistent: true,
    rollKnown: true,
    slideKnown: true,
    points: points.map((p, i) => ({ angleDeg: p.angleDeg, axial: along[i].axial, s: along[i].s })),
  }
}

/** How far, in pick sigmas, a pick beside the journal's outline still counts as on it. */
const graceSigmas = 3

function nearestHit(fit: Fit, [u, v]: readonly [number, number]): MapPoint | null {
  const direct = pixelToMap(fit.surface, fit.camera, { u, v })
  if (direct.ok) return direct.value
  const grace = graceSigmas * fit.pickSigmaPx
  for (const share of [0.25, 0.5, 0.75, 1]) {
    for (let k = 0; k < 16; k++) {
      const angle = (k * Math.PI) / 8
      const near = pixelToMap(fit.surface, fit.camera, { u: u + share * grace * Math.cos(angle), v: v + share * grace * Math.sin(angle) })
      if (near.ok) return near.value
    }
  }
  return null
}

function unwrapped(point: MapPoint, before: MapPoint | undefined): MapPoint {
  const turns = before ? Math.round((before.theta - point.theta) / (2 * Math.PI)) : point.theta < 0 ? 1 : 0
  return { theta: point.theta + turns * 2 * Math.PI, s: point.s }
}

function degrees(radians: number): number {
  return (radians * 180) / Math.PI
}
