/**
 * Fits of an invented photograph, made for nothing but their making: the first fit of a process takes ten times as long as a later one, because its code
 * is still being interpreted and compiled. A page makes some in idle moments, before the first handle is touched. What comes of them is thrown away.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Photo, Pixel } from '../model/photo'
import { cameraPlace, project } from './camera'
import { fitPhoto } from './cylinder-fit'
import { cameraOfGuess } from './propose-pose'

/** How many `practiceFit`s it takes until another would gain little (`tests/bench/fit.bench.ts`). */
export const practiceFits = 8

/** One fit from scratch and one more with a handle moved a little, as under a drag; `turn` varies the picks. */
export function practiceFit(turn: number): void {
  const photo = inventedPhoto(turn)
  const fit = fitPhoto(journal, photo, null)
  if (fit.ok) fitPhoto(journal, inventedPhoto(turn + 0.2), null, fit.value)
}

const journal: Journal = {
  id: 'practice',
  kind: 'pin',
  diameter: 60,
  width: 34,
  fillets: { front: { form: 'tangent', radius: 3, sigma: 0.1 }, rear: { form: 'tangent', radius: 3, sigma: 0.1 } },
  oilHoles: [{ id: 'hole', angleDeg: 10, axial: 16, mouthAround: 8, mouthAlong: 8, tiltDeg: 0 }],
  coating: { kind: 'unknown', perSide: null },
  overheated: false,
}

const surface = surfaceOf(journal)

/** From 260 mm, rear up, leaning a little. */
const guess = { u: 2050, v: 1460, along: -Math.PI / 2, tilt: 0.21, distance: 260, focalPx: 3100 }
const camera = cameraOfGuess(guess, surface, { width: 4000, height: 3000, k1: 0 })

/** Some picks on each side, ring and the hole, each a little off. */
function inventedPhoto(turn: number): Photo {
  let count = 0
  const seen = (thetaDeg: number, axial: number): Pixel => {
    const place = project(camera, [
      surface.radius * Math.cos((thetaDeg * Math.PI) / 180),
      surface.radius * Math.sin((thetaDeg * Math.PI) / 180),
      axial,
    ])
    if (!place) throw new Error('behind the camera')
    count += 1
    return [place.u + 0.7 * Math.sin(3 * count + turn), place.v + 0.7 * Math.cos(5 * count + turn)]
  }
  const axials = [4, 10, 16, 23, 30]
  const around = [-65, -40, -15, 10, 35, 62]
  // where the view touches the cylinder
  const [x, y] = cameraPlace(camera)
  const widest = (Math.acos(surface.radius / Math.hypot(x, y)) * 180) / Math.PI
  const sides: [Pixel[], Pixel[]] = [axials.map((axial) => seen(-widest, axial)), axials.map((axial) => seen(widest, axial))]
  const rings: Photo['handles']['rings'] = [
    { at: 'front-fillet', points: around.map((theta) => seen(theta, 3)) },
    { at: 'rear-fillet', points: around.map((theta) => seen(theta, 31)) },
  ]
  const oilHoles = [{ id: 'hole', center: seen(10, 16) }]
  const handles = { sides, rings, oilHoles, clock: [], strip: null }
  return {
    id: 'practice',
    journalId: journal.id,
    width: camera.width,
    height: camera.height,
    focalPx: turn % 2 < 1 ? camera.focalPx : null,
    k1: 0,
    handles,
    ignore: [],
  }
}
