/**
 * Starts for a photograph whose sides fix the axis, but of which nothing picked tells the angle about it, the place along it, nor front from
 * rear: rolled out as on an endless cylinder, either way round, and laid on the whole map at once.
 */
import { axialOfS, type Surface, surfaceOf } from '../journal/surface'
import { add, apply, type Mat3 } from '../journal/vector'
import { type Camera, turnedCamera } from './camera'
import { coarseTexture } from './close-up-search'
import { type CloseUpView, closeUpStrip } from './close-up-strip'
import type { Fit } from './cylinder-fit'
import { baseOf, type FitBase } from './fit-state'
import { correlationOverMap, type MapSpectra } from './plane-correlation'
import { textureOf } from './texture'
import { pixelToMap } from './unproject'

/** What share of all that is seen of the endless cylinder must lie on what the map shows: much of it is webs. */
const leastOverlap = 0.2
/** Candidates nearer to each other are one, mm. */
const apartMm = 3

/** The likeliest first; none where the middle of the picture misses the journal. */
export function freeSlideStarts(
  surface: Surface,
  map: MapSpectra,
  view: CloseUpView,
  { camera, surface: own }: Fit,
  most: number,
): FitBase[] {
  const { width, pxPerMm } = map.strip
  const middle = pixelToMap(own, camera, { u: camera.width / 2, v: camera.height / 2 })
  if (!middle.ok) return []
  const endless = surfaceOf({
    diameter: 2 * surface.radius,
    width: 2 * surface.width,
    fillets: { front: { form: 'step' }, rear: { form: 'step' } },
  })
  const half = endless.totalS / 2
  const rows = Math.round(endless.totalS * pxPerMm)
  const moved = slid(camera, half - middle.value.s)
  const found: { camera: Camera; column: number; row: number; weight: number }[] = []
  for (const standing of [moved, reversed(moved, half)]) {
    const window = { columns: width, rows, firstColumn: 0, firstRow: 0, width, height: rows }
    const texture = textureOf(closeUpStrip(endless, view, standing, window), coarseTexture)
    const piece = { texture, middleColumn: 0, middleRow: (rows - 1) / 2 }
    const { correlation, compared } = correlationOverMap(map, { ...piece, middleRow: Math.round(piece.middleRow) }, leastOverlap)
    correlation.forEach((value, at) => {
      if (value > 0)
        found.push({ camera: standing, column: at % width, row: Math.floor(at / width), weight: value * Math.sqrt(compared[at]) })
    })
  }
  const taken: typeof found = []
  const near = (a: (typeof found)[number], b: (typeof found)[number]) => {
    const columns = Math.abs(a.column - b.column)
    return a.camera === b.camera && Math.hypot(Math.min(columns, width - columns), a.row - b.row) < apartMm * pxPerMm
  }
  for (const one of found.sort((a, b) => b.weight - a.weight)) {
    if (taken.length === most) break
    if (!taken.some((other) => near(one, other))) taken.push(one)
  }
  return taken.map((one) => {
    const s = surface.totalS * (1 - (one.row + 0.5) / map.strip.height)
    return baseOf(turnedCamera(slid(one.camera, axialOfS(surface, s) - half), (one.column / width) * 2 * Math.PI), surface)
  })
}

/** The journal moved rearwards by so many mm in the camera's frame of it: what lay at z lies at z + mm. */
function slid(camera: Camera, mm: number): Camera {
  return { ...camera, translation: add(camera.translation, apply(camera.rotation, [0, 0, -mm])) }
}

/** The journal turned end for end about its middle at z: what lay at (x, y, z + d) lies at (x, -y, z - d). */
function reversed({ rotation: r, ...camera }: Camera, z: number): Camera {
  const rotation: Mat3 = [r[0], -r[1], -r[2], r[3], -r[4], -r[5], r[6], -r[7], -r[8]]
  return { ...camera, rotation, translation: add(camera.translation, apply(r, [0, 0, 2 * z])) }
}
