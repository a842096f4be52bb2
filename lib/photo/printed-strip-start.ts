/**
 * Where the search for a photograph's camera sets out from when it shows a printed strip: the homography of one code's four
 * corners to its tangent plane gives the pose for a focal length (Z. Zhang, "A flexible new technique for camera calibration", 2000),
 * its mirror about the line of sight the other pose that a small square can have.
 */
import type { Surface } from '../journal/surface'
import { add, apply, cross, dot, type Mat3, norm, scale, subtract, unit, type Vec3 } from '../journal/vector'
import { focalPxOf35, type PhotoPoint } from './camera'
import type { FitBase } from './fit-state'
import { markerMiddle } from './printed-strip-design'
import type { SeenMarker } from './printed-strip-corners'
import { type StripPlacement, type StripSeat, wrappedPoint } from './printed-strip-wrap'

/** 35 mm equivalents tried where the focal length is not known: from a phone's main camera to a close crop. */
const focalsTried35 = [26, 42, 70]

export type StripLens = { width: number; height: number; focalPx: number; focalKnown: boolean; k1: number }

/** Bases for each pose and focal length that one code can be seen in. */
export function stripStarts(seat: StripSeat, surface: Surface, marker: SeenMarker, placement: StripPlacement, lens: StripLens): FitBase[] {
  const { width, height } = lens
  const focals = lens.focalKnown ? [lens.focalPx] : focalsTried35.map((mm) => focalPxOf35(mm, width, height))
  const middle = wrappedPoint(seat, placement, markerMiddle(seat.design, marker.place))
  const outward = unit([middle.point[0], middle.point[1], 0])
  const right = unit([middle.byX[0], middle.byX[1], 0])
  const up = cross(outward, right)
  return focals.flatMap((focalPx) =>
    planePoses(marker.corners, seat.design.marker * placement.scale, { ...lens, focalPx }).map(({ ex, ey, middle: place }): FitBase => {
      const ez = cross(ex, ey)
      // columns ex, ey, ez are the camera's view of right, up, outward
      const rotation = columnsTimesRows([ex, ey, ez], [right, up, outward])
      const journalMiddle = subtract([0, 0, surface.width / 2], middle.point)
      return { width, height, focalPx, k1: lens.k1, surface, rotation, translation: add(place, apply(rotation, journalMiddle)) }
    }),
  )
}

type PlanePose = { ex: Vec3; ey: Vec3; middle: Vec3 }

/** Poses of a square of side `side` (x right, y up, seen from its front) whose corners, top left first and clockwise, are seen so. */
function planePoses(corners: readonly PhotoPoint[], side: number, lens: { width: number; height: number; focalPx: number }): PlanePose[] {
  const h = side / 2
  const flat = [
    [-h, h],
    [h, h],
    [h, -h],
    [-h, -h],
  ]
  const seen = corners.map(({ u, v }) => [(u - lens.width / 2) / lens.focalPx, (v - lens.height / 2) / lens.focalPx])
  const solved = homography(flat, seen)
  if (!solved) return []
  const [a, b, c, d, e, f, g, k] = solved
  const h1: Vec3 = [a, d, g]
  const h2: Vec3 = [b, e, k]
  const size = 2 / (norm(h1) + norm(h2))
  const middle = scale([c, f, 1], size)
  const first = orthonormal(h1, h2)
  const normal = cross(first.ex, first.ey)
  // mirrored about the line of sight: the foreshortening stays, the lean turns over
  const sight = unit(middle)
  const mirrored = subtract(scale(sight, 2 * dot(normal, sight)), normal)
  const turnedNormal = dot(mirrored, sight) < 0 ? mirrored : scale(mirrored, -1)
  const inPlane = subtract(first.ex, scale(turnedNormal, dot(first.ex, turnedNormal)))
  const poses = [{ ...first, middle }]
  if (norm(inPlane) > 1e-6) {
    const ex = unit(inPlane)
    poses.push({ ex, ey: cross(turnedNormal, ex), middle })
  }
  return poses
}

function orthonormal(a: Vec3, b: Vec3): { ex: Vec3; ey: Vec3 } {
  const p = unit(a)
  const q = unit(b)
  const sum = unit(add(p, q))
  const difference = unit(subtract(p, q))
  const half = Math.SQRT1_2
  return { ex: scale(add(sum, difference), half), ey: scale(subtract(sum, difference), half) }
}

/** The eight numbers (ninth 1) of the plane's map from four points to four; null where three lie on a line. */
function homography(from: readonly (readonly number[])[], to: readonly (readonly number[])[]): number[] | null {
  const rows = from.flatMap(([x, y], i) => {
    const [u, v] = to[i]
    return [
      [x, y, 1, 0, 0, 0, -u * x, -u * y, u],
      [0, 0, 0, x, y, 1, -v * x, -v * y, v],
    ]
  })
  for (let k = 0; k < 8; k++) {
    const pivot = rows.slice(k).reduce((best, row, i) => (Math.abs(row[k]) > Math.abs(rows[best][k]) ? k + i : best), k)
    ;[rows[k], rows[pivot]] = [rows[pivot], rows[k]]
    if (Math.abs(rows[k][k]) < 1e-12) return null
    for (let i = 0; i < 8; i++) {
      if (i === k) continue
      const factor = rows[i][k] / rows[k][k]
      for (let j = k; j < 9; j++) rows[i][j] -= factor * rows[k][j]
    }
  }
  return rows.map((row, k) => row[8] / row[k])
}

function columnsTimesRows(columns: readonly [Vec3, Vec3, Vec3], rows: readonly [Vec3, Vec3, Vec3]): Mat3 {
  const entry = (i: number, j: number) => columns[0][i] * rows[0][j] + columns[1][i] * rows[1][j] + columns[2][i] * rows[2][j]
  return [entry(0, 0), entry(0, 1), entry(0, 2), entry(1, 0), entry(1, 1), entry(1, 2), entry(2, 0), entry(2, 1), entry(2, 2)]
}
