/**
 * Proposals on rendered shop photographs beside the plain way: `npx tsx tests/bench/propose.bench.ts [first seed] [sets] [photographs] [ultraviolet] [square]`.
 * Right: a fit from the handles measures probe lines (8 to 18 mm, less than 65 degrees from the normal) to 2 degrees and 0.3 mm from the nearer tangent
 * line, 95th percentile. The angle and that distance are the same whichever end is taken for the front.
 */
import { type Surface, surfaceOf } from '../../lib/journal/surface'
import type { Journal } from '../../lib/model/journal'
import { type Handles, type Photo, photoSchema } from '../../lib/model/photo'
import { type Camera, cameraPlace, pixelRay, project } from '../../lib/photo/camera'
import { fitPhoto } from '../../lib/photo/cylinder-fit'
import type { LensData } from '../../lib/photo/lens-priors'
import { proposeHandles } from '../../lib/photo/propose'
import { blockPlanes, shrunkPlanes } from '../../lib/photo/propose-planes'
import { nearCylinderHit } from '../../lib/photo/unproject'
import { asRotation } from '../fixtures/render/cases'
import { noiseFrom } from '../fixtures/render/noise'
import { shopSet } from '../fixtures/render/shop-set'
import { plainHandles } from './plain-sides'

const [first = 30000, sets = 3, photos = 3, ultraviolet = 1] = process.argv.slice(2, 6).map(Number)
const square = process.argv[6] === 'square'
const rows: { right: boolean; trust: number; plain: boolean; seconds: number; tiltDeg: number; uv: boolean }[] = []
for (let seed = first; seed < first + sets; seed++) {
  const set = shopSet(seed, { photos, closeUps: 0, ultraviolet, square })
  const [bare] = set.inspection.journals
  const oilHoles = bare.oilHoles.map((hole) => ({ ...hole, tiltDeg: 0 }))
  const journal: Journal = { ...bare, oilHoles, coating: { kind: 'unknown', perSide: null }, overheated: false }
  for (const { id } of set.photos) {
    const truth = set.truth.photos[id]
    const { width, height, focalPx, k1 } = truth.camera
    const camera = { width, height, focalPx, k1, ...asRotation(truth.camera) } as unknown as Camera
    const photo = photoSchema.parse({ id, journalId: 'J1', width, height, focalPx: null, k1: null })
    const lens: LensData = { focal35Mm: truth.exifF35, focalMm: null }
    const picture = set.picture(id)
    const before = process.cpuUsage()
    const { handles, trust } = proposeHandles(journal, photo, lens, picture)
    const seconds = process.cpuUsage(before).user / 1e6
    const plain = plainHandles(blockPlanes(shrunkPlanes(picture, 1200), 2))
    const row = {
      right: isRight(journal, photo, lens, handles, camera),
      trust,
      plain: isRight(journal, photo, lens, plain, camera),
      seconds,
      tiltDeg: (Math.asin(camera.rotation[8]) * 180) / Math.PI,
      uv: truth.lighting === 'ultraviolet',
    }
    rows.push(row)
    console.log(
      `${seed} ${id.padEnd(4)} tilt ${row.tiltDeg.toFixed(0).padStart(3)}  trust ${trust.toFixed(2)}  ${row.right ? 'right' : '-    '}  plain ${row.plain ? 'right' : '-'}  ${seconds.toFixed(2)} s`,
    )
  }
}
const share = (some: typeof rows, of: (row: (typeof rows)[number]) => boolean) => `${some.filter(of).length} of ${some.length}`
const level = rows.filter(({ tiltDeg }) => Math.abs(tiltDeg) < 12)
console.log(`right ${share(rows, (row) => row.right)}; axis within 12 degrees of the picture's plane ${share(level, (row) => row.right)}`)
console.log(
  `ultraviolet ${share(
    rows.filter(({ uv }) => uv),
    (row) => row.right,
  )}; the plain way ${share(rows, (row) => row.plain)}`,
)
console.log(
  `trust >= 0.8: right ${share(
    rows.filter(({ trust }) => trust >= 0.8),
    (row) => row.right,
  )}`,
)
console.log(
  `processor seconds, median ${rows
    .map(({ seconds }) => seconds)
    .sort((a, b) => a - b)
    [rows.length >> 1]?.toFixed(2)}`,
)

function isRight(journal: Journal, photo: Photo, lens: LensData, handles: Handles, camera: Camera): boolean {
  const fit = fitPhoto(journal, { ...photo, handles }, lens)
  if (!fit.ok) return false
  const { angleDeg, filletMm } = probeErrors(surfaceOf(journal), camera, fit.value.camera)
  return angleDeg <= 2 && filletMm <= 0.3
}

function probeErrors(surface: Surface, camera: Camera, fitted: Camera): { angleDeg: number; filletMm: number } {
  const noise = noiseFrom(7)
  const [x, y, z] = cameraPlace(camera)
  const angles: number[] = []
  const fillets: number[] = []
  const nearest = (zs: readonly number[]) => Math.min(...zs.map((at) => Math.min(at - surface.frontTangentZ, surface.rearTangentZ - at)))
  for (let tries = 0; angles.length < 60 && tries < 3000; tries++) {
    const length = noise.uniform(8, 18)
    const lean = noise.uniform(-Math.PI / 2, Math.PI / 2)
    const theta = Math.atan2(y, x) + noise.uniform(-1, 1)
    const middle = noise.uniform(surface.frontTangentZ, surface.rearTangentZ)
    const ends = [-0.5, 0.5].map((k) => ({
      theta: theta + (k * length * Math.sin(lean)) / surface.radius,
      z: middle + k * length * Math.cos(lean),
    }))
    const inside = ends.every((end) => {
      const [px, py] = [surface.radius * Math.cos(end.theta), surface.radius * Math.sin(end.theta)]
      const cosine = ((x - px) * Math.cos(end.theta) + (y - py) * Math.sin(end.theta)) / Math.hypot(x - px, y - py, z - end.z)
      return end.z > surface.frontTangentZ + 0.2 && end.z < surface.rearTangentZ - 0.2 && cosine > Math.cos((65 * Math.PI) / 180)
    })
    if (!inside) continue
    const seen = ends.map((end) =>
      placeIn(surface, fitted, project(camera, [surface.radius * Math.cos(end.theta), surface.radius * Math.sin(end.theta), end.z])),
    )
    const [a, b] = seen
    if (!a || !b) {
      angles.push(90)
      fillets.push(99)
      continue
    }
    const turn = b.theta - a.theta - 2 * Math.PI * Math.round((b.theta - a.theta) / (2 * Math.PI))
    const off = Math.abs(Math.atan2(surface.radius * turn, b.z - a.z) - lean) % Math.PI
    angles.push((Math.min(off, Math.PI - off) * 180) / Math.PI)
    fillets.push(Math.abs(nearest([a.z, b.z]) - nearest(ends.map((end) => end.z))))
  }
  const high = (values: number[]) => values.sort((p, q) => p - q)[Math.floor(0.95 * values.length)] ?? 99
  return { angleDeg: high(angles), filletMm: high(fillets) }
}

function placeIn(surface: Surface, camera: Camera, pixel: { u: number; v: number } | null): { theta: number; z: number } | null {
  if (!pixel) return null
  const { origin, direction } = pixelRay(camera, pixel)
  const t = nearCylinderHit(origin, direction, surface.radius)
  if (t === null) return null
  return { theta: Math.atan2(origin[1] + t * direction[1], origin[0] + t * direction[0]), z: origin[2] + t * direction[2] }
}
