/**
 * How well a photograph agrees with a guessed pose: edges along the two sides and along the flare of the fillets, rings at the tangent
 * lines and at the cheeks, lay that runs around the axis. Each is a mean over a whole curve, between 0 and 1. Hundreds of thousands
 * of guesses are judged for one photograph, hence no objects on the way.
 */
import { axialOfS, meridianTangent, radiusAt, type Surface } from '../journal/surface'
import { contourCosine } from './propose-outline'
import { type ColourPlanes, colourVariance, type EdgeField } from './propose-planes'
import type { Frame, PoseGuess } from './propose-pose'

export type Agreement = {
  /** Edge along the clearer and along the less clear side. */
  strongSide: number
  weakSide: number
  /** Along the outline where it runs out into the fillets. */
  flare: number
  tangentLines: number
  cheeks: number
  /** Fine texture that runs around the journal, and such that runs along it. */
  lay: number
  lengthwise: number
  /** Edges around the journal where the cylinder should be plain. */
  rings: number
  /** How much of fine texture there is of any direction: ground steel has little, a rough web much. */
  texture: number
  /** Change of colour from inside to beyond the sides, to beyond the cheeks; 0 to 1. */
  besideContrast: number
  endContrast: number
  /** Change of colour along the axis inside the journal; 0 to 1. */
  uneven: number
  /** A journal is photographed large and in the middle: how far below that size, and how far from there. */
  smallness: number
  offCentre: number
}

/** Radius of what hides at a cheek, in journal radii (from memory of crankshafts, no source), and what a hidden place counts. */
const hidingShare = 1.25
const unseenEdge = 0.2

/** How densely curves are read. */
export type Density = { side: number; ring: number; flare: number; inside: number }

export const coarseDensity: Density = { side: 6, ring: 7, flare: 2, inside: 0 }
export const fineDensity: Density = { side: 12, ring: 13, flare: 5, inside: 7 }

export type JudgedFields = { edges: EdgeField; lay: EdgeField; colours: ColourPlanes }

/** Judges guesses about one photograph. Null where the camera would stand inside the metal. The answer is one object, filled anew each time. */
export type Judge = (guess: PoseGuess) => Agreement | null

export function judgeOf(surface: Surface, frame: Frame, fields: JudgedFields, density: Density): Judge {
  const { edges, lay, colours } = fields
  const { radius } = surface
  const stations = stationsOf(surface, density)
  const found: Agreement = {
    strongSide: 0,
    weakSide: 0,
    flare: 0,
    tangentLines: 0,
    cheeks: 0,
    lay: 0,
    lengthwise: 0,
    rings: 0,
    texture: 0,
    besideContrast: 0,
    endContrast: 0,
    uneven: 0,
    smallness: 0,
    offCentre: 0,
  }
  // journal (angle zero towards the camera, origin in its middle) to camera
  let [xx, xy, xz, yx, yy, yz, zx, zy, zz] = [0, 0, 0, 0, 0, 0, 0, 0, 0]
  let [tx, ty, tz] = [0, 0, 0]
  let focal = 0
  // the camera in the journal's frame lies at (placeX, 0, placeZ)
  let placeX = 0
  let placeZ = 0
  const middle = surface.width / 2
  const hidingSquare = (hidingShare * radius) ** 2
  const usualChange = colourVariance(colours) / 4
  const cx = frame.width / 2
  const cy = frame.height / 2

  /** How much of an edge there is at a place, along the way (dx, dy, dz) there: -1 (square to it) to 1. */
  function edge(field: EdgeField, x: number, y: number, z: number, dx: number, dy: number, dz: number): number {
    const depth = zx * x + zy * y + zz * z + tz
    if (depth <= 1e-9) return 0
    const k = focal / depth
    const un = xx * x + xy * y + xz * z + tx
    const vn = yx * x + yy * y + yz * z + ty
    const u = (cx + k * un) / field.scale
    const v = (cy + k * vn) / field.scale
    if (!(u >= 0 && v >= 0 && u < field.width && v < field.height)) return 0
    const closer = (zx * dx + zy * dy + zz * dz) / depth
    const du = xx * dx + xy * dy + xz * dz - un * closer
    const dv = yx * dx + yy * dy + yz * dz - vn * closer
    const size = du * du + dv * dv
    if (size === 0) return 0
    const i = (v | 0) * field.width + (u | 0)
    // the gradient stands square to the edge: cos 2 (phi - 90) = -cos 2 phi
    return ((dv * dv - du * du) * field.cos[i] - 2 * du * dv * field.sin[i]) / size
  }

  /** The cheek nearer to the camera hides what lies low behind it. */
  function hidden(x: number, y: number, z: number): boolean {
    if (Math.abs(placeZ) <= middle) return false
    const plane = placeZ > 0 ? middle : -middle
    const share = (plane - z) / (placeZ - z)
    return (x + share * (placeX - x)) ** 2 + (y * (1 - share)) ** 2 < hidingSquare
  }

  function ringsEdge(rings: Float64Array, half: number): number {
    let sum = 0
    for (let i = 0; i < density.ring; i++) {
      const theta = ((i + 0.5) / density.ring - 0.5) * 1.7 * half
      const c = Math.cos(theta)
      const s = Math.sin(theta)
      for (let k = 0; k < rings.length; k += 2) {
        if (hidden(rings[k + 1] * c, rings[k + 1] * s, rings[k])) {
          sum += unseenEdge
          continue
        }
        const value = edge(edges, rings[k + 1] * c, rings[k + 1] * s, rings[k], -s, c, 0)
        if (value > 0) sum += value
      }
    }
    return (2 * sum) / (density.ring * rings.length)
  }

  /** The outline runs out along the fillets: where the normal of the quarter torus stands square to the line of sight. */
  function flareEdge(fromAxis: number): number {
    const { flares } = stations
    let sum = 0
    let count = 0
    for (let k = 0; k < flares.length; k += 4) {
      const z = flares[k]
      const rho = flares[k + 1]
      const dRho = flares[k + 2]
      const dZ = flares[k + 3]
      const cos = contourCosine(rho, z, dRho, dZ, fromAxis, placeZ)
      if (!(Math.abs(cos) < 1)) continue
      const sin = Math.sqrt(1 - cos * cos)
      count += 2
      if (hidden(rho * cos, rho * sin, z)) {
        sum += 2 * unseenEdge
        continue
      }
      // an outline touches every curve of the surface through its point, the meridian too
      const one = edge(edges, rho * cos, rho * sin, z, dRho * cos, dRho * sin, dZ)
      const two = edge(edges, rho * cos, -rho * sin, z, dRho * cos, -dRho * sin, dZ)
      if (one > 0) sum += one
      if (two > 0) sum += two
    }
    return count > 0 ? sum / count : 0
  }

  function lookInside(half: number): void {
    const { cylinder } = stations
    let around = 0
    let lengthwise = 0
    let rings = 0
    let texture = 0
    let count = 0
    for (let k = 0; k < density.inside; k++) {
      const theta = ((k + 0.5) / density.inside - 0.5) * 1.7 * half
      const c = Math.cos(theta)
      const s = Math.sin(theta)
      for (let i = 1; i < cylinder.length - 1; i++) {
        const value = edge(lay, radius * c, radius * s, cylinder[i], -s, c, 0)
        if (value > 0) around += value
        else lengthwise -= value
        const ring = edge(edges, radius * c, radius * s, cylinder[i], -s, c, 0)
        if (ring > 0) rings += ring
        texture += sizeAt(lay, radius * c, radius * s, cylinder[i])
        count++
      }
    }
    found.texture = texture / Math.max(1, count)
    found.lay = around / Math.max(1, count)
    found.lengthwise = lengthwise / Math.max(1, count)
    found.rings = rings / Math.max(1, count)
  }

  function sizeAt(field: EdgeField, x: number, y: number, z: number): number {
    if (!see(x, y, z)) return 0
    const u = seenU / field.scale
    const v = seenV / field.scale
    if (!(u >= 0 && v >= 0 && u < field.width && v < field.height)) return 0
    return field.size[(v | 0) * field.width + (u | 0)]
  }

  let seenU = 0
  let seenV = 0
  function see(x: number, y: number, z: number): boolean {
    const depth = zx * x + zy * y + zz * z + tz
    if (depth <= 1e-9) return false
    seenU = cx + (focal / depth) * (xx * x + xy * y + xz * z + tx)
    seenV = cy + (focal / depth) * (yx * x + yy * y + yz * z + ty)
    return true
  }

  /** Index of the colour at a pixel of the photograph; -1 outside. */
  function colourAt(u: number, v: number): number {
    const x = u / colours.scale
    const y = v / colours.scale
    return x >= 0 && y >= 0 && x < colours.width && y < colours.height ? (y | 0) * colours.width + (x | 0) : -1
  }

  function change(a: number, b: number): number {
    if (a < 0 || b < 0) return 0
    const square =
      (colours.red[a] - colours.red[b]) ** 2 + (colours.green[a] - colours.green[b]) ** 2 + (colours.blue[a] - colours.blue[b]) ** 2
    return square / (square + usualChange)
  }

  function contrasts(half: number): void {
    const { cylinder, cheeks } = stations
    const last = cylinder.length - 1
    const beyond = 0.14 * radius
    let ends = 0
    let uneven = 0
    let beside = 0
    for (let k = -2; k <= 2; k++) {
      const c = Math.cos(0.4 * k * half)
      const s = Math.sin(0.4 * k * half)
      see(radius * c, radius * s, cylinder[0])
      const front = colourAt(seenU, seenV)
      see(radius * c, radius * s, 0)
      const middle = colourAt(seenU, seenV)
      see(radius * c, radius * s, cylinder[last])
      const rear = colourAt(seenU, seenV)
      see((cheeks[1] + beyond) * c, (cheeks[1] + beyond) * s, cheeks[0])
      ends += change(front, colourAt(seenU, seenV))
      see((cheeks[3] + beyond) * c, (cheeks[3] + beyond) * s, cheeks[2])
      ends += change(rear, colourAt(seenU, seenV))
      uneven += change(front, middle) + change(rear, middle)
    }
    for (let i = 1; i <= 3; i++) {
      const z = cylinder[Math.round((i * last) / 4)]
      for (const side of [1, -1]) {
        see(radius * Math.cos(half), side * radius * Math.sin(half), z)
        const u = seenU
        const v = seenV
        see(radius * Math.cos(0.75 * half), side * radius * Math.sin(0.75 * half), z)
        beside += change(colourAt(seenU, seenV), colourAt(2 * u - seenU, 2 * v - seenV))
      }
    }
    found.endContrast = ends / 10
    found.uneven = uneven / 10
    found.besideContrast = beside / 6
  }

  return (guess) => {
    focal = guess.focalPx
    let sx = (guess.u - cx) / focal
    let sy = (guess.v - cy) / focal
    let sz = 1 / Math.sqrt(sx * sx + sy * sy + 1)
    sx *= sz
    sy *= sz
    const ca = Math.cos(guess.along)
    const sa = Math.sin(guess.along)
    const off = ca * sx + sa * sy
    let qx = ca - off * sx
    let qy = sa - off * sy
    let qz = -off * sz
    const q = Math.cos(guess.tilt) / Math.sqrt(qx * qx + qy * qy + qz * qz)
    const st = Math.sin(guess.tilt)
    xz = q * qx + st * sx
    yz = q * qy + st * sy
    zz = q * qz + st * sz
    const { distance } = guess
    sx *= distance
    sy *= distance
    sz *= distance
    // towards the camera, square to the axis
    const along = distance * st
    qx = xz * along - sx
    qy = yz * along - sy
    qz = zz * along - sz
    const fromAxis = Math.sqrt(qx * qx + qy * qy + qz * qz)
    if (fromAxis < 1.05 * radius) return null
    xx = qx / fromAxis
    yx = qy / fromAxis
    zx = qz / fromAxis
    xy = yz * zx - zz * yx
    yy = zz * xx - xz * zx
    zy = xz * yx - yz * xx
    tx = sx
    ty = sy
    tz = sz
    placeX = fromAxis
    placeZ = -along
    const half = Math.acos(radius / fromAxis)
    const x = radius * Math.cos(half)
    const y = radius * Math.sin(half)
    const { cylinder } = stations
    let first = 0
    let second = 0
    for (let i = 0; i < cylinder.length; i++) {
      const one = edge(edges, x, y, cylinder[i], 0, 0, 1)
      const two = edge(edges, x, -y, cylinder[i], 0, 0, 1)
      if (one > 0) first += one
      if (two > 0) second += two
    }
    found.strongSide = Math.max(first, second) / cylinder.length
    found.weakSide = Math.min(first, second) / cylinder.length
    found.flare = flareEdge(fromAxis)
    found.tangentLines = ringsEdge(stations.tangentLines, half)
    found.cheeks = ringsEdge(stations.cheeks, half)
    lookInside(half)
    contrasts(half)
    const shorter = Math.min(frame.width, frame.height)
    found.smallness = 0.5 * Math.max(0, Math.log((0.4 * shorter * fromAxis) / (2 * radius * focal)))
    found.offCentre = 2 * (((guess.u - cx) / frame.width) ** 2 + ((guess.v - cy) / frame.height) ** 2)
    return found
  }
}

/** Axial places from the middle of the journal, radii, slopes. */
function stationsOf(surface: Surface, { side, flare }: Density) {
  const { frontTangentS, rearTangentS, totalS, front, rear } = surface
  const place = (s: number) => axialOfS(surface, s) - surface.width / 2
  const ring = (s: number) => [place(s), radiusAt(surface, s)]
  const flares: number[] = []
  for (let i = 0; i < flare; i++) {
    const share = 0.2 + (0.6 * (i + 0.5)) / flare
    for (const s of [share * front.extentS, totalS - share * rear.extentS]) {
      if ((s < totalS / 2 ? front : rear).radius > 0) flares.push(...ring(s), ...meridianTangent(surface, s))
    }
  }
  return {
    cylinder: Float64Array.from({ length: side }, (_, i) => place(frontTangentS + ((i + 0.5) / side) * (rearTangentS - frontTangentS))),
    tangentLines: Float64Array.from([...ring(frontTangentS), ...ring(rearTangentS)]),
    cheeks: Float64Array.from([...ring(0), ...ring(totalS)]),
    flares: Float64Array.from(flares),
  }
}
