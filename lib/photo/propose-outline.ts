/**
 * How well a photograph agrees with the whole outline of a journal in a guessed pose: its two sides and, at up to four corners, the curve along which
 * a side runs out into a fillet. In white light a tangent line shows as a faint kink of the shading that every highlight in the fillet bends;
 * but the outline leaves its straight line along a curve that is exactly known, the contour of a quarter torus (n . sight = 0), against
 * whatever lies behind it. It tells where the journal lies along its axis. A contour is seen where the surface is convex along the line
 * of sight (J. J. Koenderink, "What does the occluding contour tell us about solid shape?", 1984).
 */
import { axialOfS, meridianTangent, radiusAt, type Surface } from '../journal/surface'
import { apply } from '../journal/vector'
import { type Camera, cameraPlace, emptySight, look } from './camera'
import type { ColourPlanes } from './propose-planes'

/** The colours of a picture, pixel by pixel: red, green, blue. A pixel covers `scale` px of the photograph. */
export type ColourGrid = { width: number; height: number; scale: number; colours: Float32Array }

const contourStations = 20
const sideStations = 20
/** How far along a fillet its contour is followed, as a share of its arc. */
const contourShare = 0.98
/** Change of colour that counts one half, grey levels, three channels together. */
export const halfChange = 25
/** Places to either side whose colours are compared, px of the grid. */
const acrossPx = [0.6, 1.4]
/** How much of an edge runs along a curve that is nowhere in particular. */
const usualEdge = 0.3
/** So many px of a picture 2400 px wide weigh one. */
const weighedPx = 40
/** What a curve counts at worst: a web, a rag or a finger hides it. */
const hiddenCurve = -1
/** A side tells little of the slide and is longer than all else. */
const sideWeight = 0.5

export const hands = [-1, 1] as const

export type Corner = { end: 'front' | 'rear'; hand: 1 | -1 }

export const cornersOf = (surface: Surface): Corner[] =>
  (['front', 'rear'] as const)
    .filter((end) => surface[end].form === 'tangent')
    .flatMap((end) => [
      { end, hand: -1 },
      { end, hand: 1 },
    ])

export type OutlineJudge = {
  /** Log evidence of the whole outline. */
  whole: (camera: Camera) => number
  /** Of one corner's fillet. */
  corner: (camera: Camera, corner: Corner) => number
}

export function outlineJudge(surface: Surface, grid: ColourGrid): OutlineJudge {
  const corners = cornersOf(surface)
  const stations = new Map(corners.map(({ end }) => [end, filletStations(surface, end)]))
  const curve = emptyCurve()

  function corner(camera: Camera, { end, hand }: Corner): number {
    return evidenceAlong(
      curve,
      contourInto(curve, stations.get(end) ?? new Float64Array(), surface[end].radius, camera, hand),
      grid,
      camera,
    )
  }

  function whole(camera: Camera): number {
    const [x, y] = cameraPlace(camera)
    if (Math.hypot(x, y) <= 1.05 * surface.radius) return Number.NEGATIVE_INFINITY
    let sum = 0
    for (const hand of hands) sum += sideWeight * evidenceAlong(curve, sideInto(curve, surface, camera, hand), grid, camera)
    for (const one of corners) sum += corner(camera, one)
    return sum
  }

  return { whole, corner }
}

/** A curve on the journal as it is seen: u, v and the place on the surface (x, y, z), by turns. */
export const curveStride = 5
export const emptyCurve = () => new Float64Array(curveStride * (Math.max(contourStations, sideStations) + 1))

/** A side between the tangent lines. @returns how many places */
export function sideInto(curve: Float64Array, surface: Surface, camera: Camera, hand: 1 | -1): number {
  const [placeX, placeY] = cameraPlace(camera)
  const theta = Math.atan2(placeY, placeX) + hand * Math.acos(surface.radius / Math.hypot(placeX, placeY))
  const x = surface.radius * Math.cos(theta)
  const y = surface.radius * Math.sin(theta)
  const step = (surface.rearTangentZ - surface.frontTangentZ) / (sideStations - 1)
  let count = 0
  for (let i = 0; i < sideStations; i++) if (placed(curve, count, camera, x, y, surface.frontTangentZ + i * step)) count++
  return count
}

const sight = emptySight()

function placed(curve: Float64Array, index: number, camera: Camera, x: number, y: number, z: number): boolean {
  if (!look(camera, x, y, z, sight)) return false
  const k = curveStride * index
  curve[k] = sight[0]
  curve[k + 1] = sight[1]
  curve[k + 2] = x
  curve[k + 3] = y
  curve[k + 4] = z
  return true
}

/** The camera when the journal lies further along its own axis, mm towards the rear. */
export function slidCamera(camera: Camera, slideMm: number): Camera {
  const [x, y, z] = apply(camera.rotation, [0, 0, slideMm])
  const t = camera.translation
  return { ...camera, translation: [t[0] + x, t[1] + y, t[2] + z] }
}

export function colourGrid({ width, height, scale, red, green, blue }: ColourPlanes): ColourGrid {
  const colours = new Float32Array(3 * width * height)
  for (let i = 0, k = 0; i < red.length; i++) {
    colours[k++] = red[i]
    colours[k++] = green[i]
    colours[k++] = blue[i]
  }
  return { width, height, scale, colours }
}

/** Of a dark, noisy picture: averaged over neighbours, twice, and brightened, so that its edges count as those of a lit one. */
export function brightColourGrid(planes: ColourPlanes): ColourGrid {
  const grid = colourGrid(planes)
  let { colours } = grid
  for (const step of [3, 3, 3 * grid.width, 3 * grid.width]) {
    const smooth = colours.slice()
    for (let i = step; i < colours.length - step; i++) smooth[i] = (colours[i - step] + colours[i] + colours[i + step]) / 3
    colours = smooth
  }
  for (let i = 0; i < colours.length; i++) colours[i] *= brightened
  return { ...grid, colours }
}

const brightened = 3

/** From the tangent line towards the cheek: radius, axial place, slope of the meridian (radius, axial). */
export function filletStations(surface: Surface, end: 'front' | 'rear'): Float64Array {
  const { extentS } = surface[end]
  return Float64Array.from(
    Array.from({ length: contourStations + 1 }, (_, i) => {
      const arc = extentS * (1 - (i / contourStations) * contourShare)
      const s = end === 'front' ? arc : surface.totalS - arc
      return [radiusAt(surface, s), axialOfS(surface, s), ...meridianTangent(surface, s)]
    }).flat(),
  )
}

/**
 * Where the outline runs at a place of the meridian (radius rho, axial z, slope dRho, dZ): cosine of the angle about the axis from the camera, which
 * stands `fromAxis` off it at `placeZ`. There the normal is square to the line of sight; beyond -1 to 1 it is nowhere.
 */
export function contourCosine(rho: number, z: number, dRho: number, dZ: number, fromAxis: number, placeZ: number): number {
  return (dZ * rho + dRho * (placeZ - z)) / (dZ * fromAxis)
}

/** The outline of a fillet from its tangent line to where it is seen no more. @returns how many places */
export function contourInto(curve: Float64Array, stations: Float64Array, filletRadius: number, camera: Camera, hand: 1 | -1): number {
  const [placeX, placeY, placeZ] = cameraPlace(camera)
  const fromAxis = Math.hypot(placeX, placeY)
  const [cf, sf] = [placeX / fromAxis, placeY / fromAxis]
  let count = 0
  for (let k = 0; k < stations.length; k += 4) {
    const rho = stations[k]
    const z = stations[k + 1]
    const dRho = stations[k + 2]
    const dZ = stations[k + 3]
    const cos = contourCosine(rho, z, dRho, dZ, fromAxis, placeZ)
    if (!(Math.abs(cos) < 1)) break
    const sin = hand * Math.sqrt(1 - cos * cos)
    const along = dRho * (fromAxis * cos - rho) + dZ * (placeZ - z)
    const around = fromAxis * sin
    // normal curvature along the line of sight: the metal must bend away from it
    if ((dZ / rho) * around * around - (along * along) / filletRadius <= 0) break
    if (!placed(curve, count, camera, rho * (cf * cos - sf * sin), rho * (sf * cos + cf * sin), z)) break
    count++
  }
  return count
}

/** Log evidence that an edge runs along a curve; 0 where none of it is in the picture. */
function evidenceAlong(curve: Float64Array, count: number, grid: ColourGrid, camera: Camera): number {
  const unit = Math.max(camera.width, camera.height) / 2400
  let sum = 0
  let length = 0
  for (let i = 1; i < count - 1; i++) {
    const k = curveStride * i
    const du = curve[k + curveStride] - curve[k - curveStride]
    const dv = curve[k + curveStride + 1] - curve[k - curveStride + 1]
    const size = Math.sqrt(du * du + dv * dv)
    if (size < 0.3 * unit) continue
    const change = changeAcross(grid, curve[k], curve[k + 1], -dv / size, du / size)
    if (change < 0) continue
    sum += (size * change) / (change + halfChange)
    length += size
  }
  return length > 0 ? Math.max(hiddenCurve, (length / 2 / (weighedPx * unit)) * Math.log((sum / length + 0.1) / usualEdge)) : 0
}

/** Change of colour from one side of a place to the other, grey levels, three channels together; -1 outside the picture. */
export function changeAcross({ width, height, scale, colours }: ColourGrid, u: number, v: number, nu: number, nv: number): number {
  let [red, green, blue] = [0, 0, 0]
  for (const reach of acrossPx) {
    for (let sign = -1; sign <= 1; sign += 2) {
      const x = u / scale - 0.5 + sign * reach * nu
      const y = v / scale - 0.5 + sign * reach * nv
      const i = Math.floor(x)
      const j = Math.floor(y)
      if (!(i >= 0 && j >= 0 && i + 1 < width && j + 1 < height)) return -1
      const a = x - i
      const b = y - j
      const k = 3 * (j * width + i)
      const n = k + 3 * width
      const [w00, w10, w01, w11] = [sign * (1 - a) * (1 - b), sign * a * (1 - b), sign * (1 - a) * b, sign * a * b]
      red += w00 * colours[k] + w10 * colours[k + 3] + w01 * colours[n] + w11 * colours[n + 3]
      green += w00 * colours[k + 1] + w10 * colours[k + 4] + w01 * colours[n + 1] + w11 * colours[n + 4]
      blue += w00 * colours[k + 2] + w10 * colours[k + 5] + w01 * colours[n + 2] + w11 * colours[n + 5]
    }
  }
  return Math.sqrt(red * red + green * green + blue * blue) / acrossPx.length
}
