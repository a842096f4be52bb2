/**
 * Everything that is measured of one mark on the map, with its standard deviations by propagation of the vertices'
 * joint covariance (GUM, JCGM 100:2008, 5.2). Distances keep their sign inside fillet and hole, so that their
 * deviation does not vanish where the reported distance is 0.
 */
import { leastRectangle } from './least-rectangle'
import { axialDifference, endPieces, meanDirection, type PathPiece, pathPieces, worstStretchAngle } from './map-path'
import { aimsAt, type Mouth, mouthDistance } from './oil-hole'
import { quadraticForm } from './quadratic-form'
import { axialOfS, type MapPoint, type Surface, sOfAxial, withFilletRadii } from './surface'

export type Measured = { value: number; sigma: number }

export type MarkMeasure = {
  /** A line, or an area whose length is at least three times its width: it has a direction. */
  directed: boolean
  length: Measured
  /** Signed, radians in (-pi/2, pi/2]; null where there is no direction. */
  angle: Measured | null
  resultant: number | null
  /** Unsigned, radians. */
  worstAngle: number | null
  around: number
  along: number
  /** Signed distance to each tangent line along the meridian, mm; negative in the fillet. */
  fillets: { front: Measured; rear: Measured }
  holes: { id: string; distance: Measured; aimed: boolean; largerAxis: number }[]
  /** Of an area: its least rectangle, mm. */
  rectangle: { longest: number; shortest: number /** Of the longest side less three times the shortest. */; slenderSigma: number } | null
}

export type MeasureOptions = {
  /** Joint covariance of (R theta, s) of the vertices and the two fillet radii, (2N + 2)^2 row-major, mm^2. */
  covariance: Float64Array
  /** Length of the stretch whose direction is read at the worst place and at the ends, mm. */
  stretch: number
  /** How many sigmas widen the aim. */
  boundFactor: number
}

/** mm: an area exactly three times as long as wide is slender, whatever rounding makes of it. */
const hair = 1e-9

export function measureMark(
  surface: Surface,
  mouths: readonly Mouth[],
  shape: 'line' | 'area',
  vertices: readonly MapPoint[],
  { covariance, stretch, boundFactor }: MeasureOptions,
): MarkMeasure {
  const rectangle = shape === 'area' ? leastRectangle(flatOf(surface, vertices)) : null
  const directed = shape === 'line' || (rectangle !== null && rectangle.longest > 0 && rectangle.longest + hair >= 3 * rectangle.shortest)
  const lineOf = (points: readonly MapPoint[]): readonly MapPoint[] =>
    shape === 'line' ? points : leastRectangle(flatOf(surface, points)).axis.map(([x, s]) => ({ theta: x / surface.radius, s }))
  const pieces = pathPieces(surface, lineOf(vertices))
  const direction = meanDirection(pieces)
  const propagate = (gradient: Float64Array) => Math.sqrt(quadraticForm(covariance, gradient))
  const lengthOf = (points: readonly MapPoint[]) => meanDirection(pathPieces(surface, lineOf(points))).length
  const angleOf = (points: readonly MapPoint[]) => meanDirection(pathPieces(surface, lineOf(points))).angle ?? 0
  const closed = shape === 'area'
  const ends = directed ? lineOf(vertices) : []
  return {
    directed,
    length: {
      value: direction.length,
      sigma: Math.hypot(
        propagate(gradientOf(surface, vertices, lengthOf, (a, b) => a - b)),
        shape === 'line' ? zigzag(surface, vertices, covariance) : 0,
      ),
    },
    angle:
      directed && direction.angle !== null
        ? { value: direction.angle, sigma: propagate(gradientOf(surface, vertices, angleOf, axialDifference)) }
        : null,
    resultant: directed ? direction.resultant : null,
    worstAngle: directed ? worstStretchAngle(pieces, stretch) : null,
    around: extent(vertices.map((v) => v.theta)),
    along: extent(vertices.map((v) => v.s)),
    fillets: { front: filletDistance(surface, vertices, 'front', propagate), rear: filletDistance(surface, vertices, 'rear', propagate) },
    holes: mouths.map((mouth) => {
      const nearest = mouthDistance(surface, mouth, vertices, closed)
      const gradient = new Float64Array(2 * vertices.length + 2)
      const next = (nearest.segment + 1) % vertices.length
      for (const [vertex, share] of [
        [nearest.segment, 1 - nearest.t],
        [next, nearest.t],
      ] as const) {
        gradient[2 * vertex] += share * nearest.normal[0]
        gradient[2 * vertex + 1] += share * nearest.normal[1]
      }
      const aimed =
        nearest.distance <= 0 ||
        (directed &&
          aimedAt(surface, mouth, ends, pieces, stretch, boundFactor * endSigma(surface, vertices, lineOf, mouth, stretch, propagate)))
      return { id: mouth.id, distance: { value: nearest.distance, sigma: propagate(gradient) }, aimed, largerAxis: mouth.largerAxis }
    }),
    rectangle: rectangle && {
      longest: rectangle.longest,
      shortest: rectangle.shortest,
      slenderSigma: propagate(
        gradientOf(
          surface,
          vertices,
          (points) => slendernessOf(surface, points),
          (a, b) => a - b,
        ),
      ),
    },
  }
}

/** Covariance for vertices that are each uncertain by `sigma` mm in every direction, and for the fillet radii. */
export function independentCovariance(
  surface: Surface,
  vertices: readonly MapPoint[],
  sigma: number,
  axialGiven: readonly boolean[],
): Float64Array {
  const size = 2 * vertices.length + 2
  const covariance = new Float64Array(size * size)
  for (let i = 0; i < 2 * vertices.length; i++) covariance[i * size + i] = sigma * sigma
  const radii = [surface.front.radiusSigma, surface.rear.radiusSigma]
  radii.forEach((radiusSigma, end) => {
    // a place given along the axis keeps its axial distance when the radius changes: its arc length does not
    const moves = new Float64Array(size)
    vertices.forEach((vertex, i) => {
      if (axialGiven[i]) moves[2 * i + 1] = arcByRadius(surface, vertex, end)
    })
    moves[2 * vertices.length + end] = 1
    for (let i = 0; i < size; i++)
      for (let j = 0; j < size; j++) covariance[i * size + j] += radiusSigma * radiusSigma * moves[i] * moves[j]
  })
  return covariance
}

/** How far the arc length of a place of fixed axial distance moves when a fillet radius grows by 1 mm. */
function arcByRadius(surface: Surface, vertex: MapPoint, end: number): number {
  if ((end === 0 ? surface.front : surface.rear).radius === 0) return 0
  const axial = axialOfS(surface, vertex.s)
  const arcWith = (more: number) =>
    sOfAxial(withFilletRadii(surface, surface.front.radius + (end === 0 ? more : 0), surface.rear.radius + (end === 1 ? more : 0)), axial)
  return (arcWith(radiusStep) - arcWith(-radiusStep)) / (2 * radiusStep)
}

/** mm */
const radiusStep = 1e-3

/** Signed distance of the nearest vertex to a tangent line along the meridian; the radius itself may be uncertain. */
function filletDistance(
  surface: Surface,
  vertices: readonly MapPoint[],
  end: 'front' | 'rear',
  propagate: (g: Float64Array) => number,
): Measured {
  const distance = (at: Surface, { s }: MapPoint) => (end === 'front' ? s - at.frontTangentS : at.rearTangentS - s)
  let nearest = 0
  vertices.forEach((vertex, i) => {
    if (distance(surface, vertex) < distance(surface, vertices[nearest])) nearest = i
  })
  const gradient = new Float64Array(2 * vertices.length + 2)
  gradient[2 * nearest + 1] = end === 'front' ? 1 : -1
  for (const k of [0, 1]) {
    const wider = withFilletRadii(
      surface,
      surface.front.radius + (k === 0 ? radiusStep : 0),
      surface.rear.radius + (k === 1 ? radiusStep : 0),
    )
    gradient[2 * vertices.length + k] = (distance(wider, vertices[nearest]) - distance(surface, vertices[nearest])) / radiusStep
  }
  return { value: distance(surface, vertices[nearest]), sigma: propagate(gradient) }
}

function aimedAt(
  surface: Surface,
  mouth: Mouth,
  ends: readonly MapPoint[],
  pieces: readonly PathPiece[],
  stretch: number,
  spread: number,
): boolean {
  const { fromStart, end } = nearerEnd(surface, mouth, ends)
  const inward = withinFrom(surface, fromStart ? ends : [...ends].reverse(), stretch)
  const direction = meanDirection(endPieces(pieces, stretch, fromStart)).angle
  if (direction === null) return false
  const axis: [number, number] = [Math.sin(direction), Math.cos(direction)]
  const outward = axis[0] * (end.theta - inward.theta) * surface.radius + axis[1] * (end.s - inward.s) >= 0
  return aimsAt(surface, mouth, end, outward ? axis : [-axis[0], -axis[1]], spread)
}

function endSigma(
  surface: Surface,
  vertices: readonly MapPoint[],
  lineOf: (points: readonly MapPoint[]) => readonly MapPoint[],
  mouth: Mouth,
  stretch: number,
  propagate: (g: Float64Array) => number,
): number {
  const { fromStart } = nearerEnd(surface, mouth, lineOf(vertices))
  const endAngle = (points: readonly MapPoint[]) =>
    meanDirection(endPieces(pathPieces(surface, lineOf(points)), stretch, fromStart)).angle ?? 0
  return propagate(gradientOf(surface, vertices, endAngle, axialDifference))
}

/** The place on a line `stretch` mm from its start, or its other end: the way out of the line leads away from it. */
function withinFrom(surface: Surface, line: readonly MapPoint[], stretch: number): MapPoint {
  let left = stretch
  for (let i = 1; i < line.length; i++) {
    const [from, to] = [line[i - 1], line[i]]
    const { length } = meanDirection(pathPieces(surface, [from, to]))
    if (length >= left)
      return { theta: from.theta + (left / length) * (to.theta - from.theta), s: from.s + (left / length) * (to.s - from.s) }
    left -= length
  }
  return line[line.length - 1]
}

/** The end of a line that lies nearer to the mouth. */
function nearerEnd(surface: Surface, mouth: Mouth, line: readonly MapPoint[]): { fromStart: boolean; end: MapPoint } {
  const first = line[0]
  const last = line[line.length - 1]
  const fromStart = mouthDistance(surface, mouth, [first], false).distance < mouthDistance(surface, mouth, [last], false).distance
  return { fromStart, end: fromStart ? first : last }
}

/** Central differences of a function of the vertices, by mm of (R theta, s). */
function gradientOf(
  surface: Surface,
  vertices: readonly MapPoint[],
  f: (points: readonly MapPoint[]) => number,
  difference: (a: number, b: number) => number,
): Float64Array {
  const step = 1e-5
  const gradient = new Float64Array(2 * vertices.length + 2)
  const moved = vertices.map((v) => ({ ...v }))
  vertices.forEach((vertex, i) => {
    moved[i] = { theta: vertex.theta + step / surface.radius, s: vertex.s }
    const aroundPlus = f(moved)
    moved[i] = { theta: vertex.theta - step / surface.radius, s: vertex.s }
    gradient[2 * i] = difference(aroundPlus, f(moved)) / (2 * step)
    moved[i] = { theta: vertex.theta, s: vertex.s + step }
    const alongPlus = f(moved)
    moved[i] = { theta: vertex.theta, s: vertex.s - step }
    gradient[2 * i + 1] = difference(alongPlus, f(moved)) / (2 * step)
    moved[i] = { ...vertex }
  })
  return gradient
}

/**
 * By how much picks that err to the side lengthen a line, mm on average: each segment by its ends' variance across it over twice its
 * length (the second-order term of GUM, JCGM 100:2008, 5.1.2). Lengths of short segments drawn by a rough hand are too great by that.
 */
function zigzag(surface: Surface, vertices: readonly MapPoint[], covariance: Float64Array): number {
  // a straight line between two picks does not zigzag
  if (vertices.length < 3) return 0
  const size = 2 * vertices.length + 2
  let sum = 0
  for (let i = 1; i < vertices.length; i++) {
    const dx = surface.radius * (vertices[i].theta - vertices[i - 1].theta)
    const dy = vertices[i].s - vertices[i - 1].s
    const length = Math.hypot(dx, dy)
    if (length === 0) continue
    const across = new Float64Array(size)
    across.set([dy / length, -dx / length, -dy / length, dx / length], 2 * i - 2)
    sum += quadraticForm(covariance, across) / (2 * length)
  }
  return sum
}

/** Longest side of the least rectangle less three times its shortest, mm: 0 or more is slender. */
function slendernessOf(surface: Surface, outline: readonly MapPoint[]): number {
  const { longest, shortest } = leastRectangle(flatOf(surface, outline))
  return longest - 3 * shortest
}

function flatOf(surface: Surface, vertices: readonly MapPoint[]): (readonly [number, number])[] {
  return vertices.map(({ theta, s }) => [surface.radius * theta, s] as const)
}

function extent(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values)
}
