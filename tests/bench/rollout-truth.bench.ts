/**
 * The rollout of rendered shops' photographs beside the truth: `npx tsx tests/bench/rollout-truth.bench.ts [--scale 1] [--close-ups 0] [--out FOLDER] [seed …]`.
 * Photographs are fitted and laid beside each other as the command line does. For places all over the cylinder: whether a photograph that truly sees one
 * less than 65 degrees from the normal is followed by coverage; how far the place that the map gives lies from what its photograph truly shows
 * there, by the renderer's own rays; where something hides the place in that photograph; and at seams how far both photographs lie apart, beside what
 * their fits say of it. The ten worst places are named and, with a folder, drawn.
 */
import { mkdir } from 'node:fs/promises'
import path from 'node:path'
import sharp from 'sharp'
import { fitPhotos } from '../../lib/finding/assess'
import { readInspection } from '../../lib/journal/read-inspection'
import { surfaceOf, surfacePoint } from '../../lib/journal/surface'
import { project } from '../../lib/photo/camera'
import type { Fit } from '../../lib/photo/cylinder-fit'
import { verticesCovariance } from '../../lib/photo/map-covariance'
import { alignJournal } from '../../lib/rollout/align-journal'
import { photosToRoll } from '../../lib/rollout/photos-to-roll'
import { type Rollout, rollout, rolloutSize } from '../../lib/rollout/rollout'
import { simdKernel } from '../../lib/rollout/simd-kernel'
import type { RenderedPicture } from '../fixtures/render/picture'
import { shopSet } from '../fixtures/render/shop-set'
import { shopSight } from '../fixtures/render/shop-picks'

const pxPerMm = 14
const grid = { columns: 360, rows: 60 }
const args = process.argv.slice(2)
const option = (name: string) => (args.includes(name) ? args.splice(args.indexOf(name), 2)[1] : undefined)
const scale = Number(option('--scale') ?? 1)
const closeUps = Number(option('--close-ups') ?? 0)
const folder = option('--out')
const seeds = args.length > 0 ? args.map(Number) : [30_001]

type Place = { mm: number; photo: string; deg: number; s: number; around: number; along: number; column: number; row: number }

const kernel = await simdKernel()
if (!kernel) throw new Error('WebAssembly has no SIMD here')
for (const seed of seeds) await one(seed)

async function one(seed: number): Promise<void> {
  const set = shopSet(seed, { scale, closeUps, ultraviolet: 0 })
  const pictures = new Map<string, RenderedPicture>()
  const pictureOf = (id: string) => {
    const drawn = pictures.get(id) ?? set.picture(id)
    pictures.set(id, drawn)
    return drawn
  }
  const read = readInspection(set.inspection)
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  const inspection = read.value
  const [journal] = inspection.journals
  const surface = surfaceOf(journal)
  const fits = fitPhotos(inspection, {})
  const fitted = inspection.photos.flatMap((photo) => {
    const outcome = fits.get(photo.id)
    return outcome ? [{ photo, lens: null, outcome }] : []
  })
  for (const [id, fit] of await alignJournal(journal, fitted, async ({ id }) => pictureOf(id))) fits.set(id, fit)
  const { used, leftOut } = photosToRoll(inspection, journal, fits, () => true)
  const size = rolloutSize(surface, pxPerMm)
  const views = used.map(({ photo, fit }) => ({ picture: pictureOf(photo.id), camera: fit.camera, ignore: photo.ignore }))
  const map = rollout(surface, views, size, { sources: true, sampling: 'bicubic', kernel: kernel ?? undefined })
  const shops = used.map(({ photo }) => set.photos.find(({ id }) => id === photo.id) ?? set.photos[0])
  const whole = set.photos.filter(({ close }) => !close)

  /** How far what a photograph truly shows at the pixel of a map place lies from it: mm around and along; null where something hides it. */
  const displacement = (view: number, theta: number, s: number): [number, number] | null => {
    const sight = (t: number, along: number) => shopSight(set.scene, shops[view], t, along, 85)
    const here = sight(theta, s)
    const step = 0.02
    const [around, along] = [sight(theta + step / surface.radius, s), sight(theta, s + step)]
    const pixel = project(used[view].fit.camera, surfacePoint(surface, { theta, s }))
    if (!here || !around || !along || !pixel) return null
    const [a, b] = [(around[0] - here[0]) / step, (along[0] - here[0]) / step]
    const [c, d] = [(around[1] - here[1]) / step, (along[1] - here[1]) / step]
    const [du, dv] = [pixel.u - here[0], pixel.v - here[1]]
    const determinant = a * d - b * c
    return [(d * du - b * dv) / determinant, (a * dv - c * du) / determinant]
  }

  let [photographed, covered, shown, hidden, hiddenThoughSeen] = [0, 0, 0, 0, 0]
  const places: Place[] = []
  const seams: { mm: number; sigmas: number }[] = []
  for (let i = 0; i < grid.rows; i++) {
    const row = Math.floor(size.height * (1 - between(surface.frontTangentS, surface.rearTangentS, (i + 0.5) / grid.rows) / surface.totalS))
    const s = surface.totalS * (1 - (row + 0.5) / size.height)
    for (let k = 0; k < grid.columns; k++) {
      const column = Math.floor(((k + 0.5) / grid.columns) * size.width)
      const theta = ((column + 0.5) / size.width) * 2 * Math.PI
      const at = row * size.width + column
      const seen = whole.some((photo) => shopSight(set.scene, photo, theta, s, 65) !== null)
      if (seen) photographed++
      const source = map.sources?.[at] ?? 255
      if (seen && source !== 255) covered++
      if (source === 255) continue
      shown++
      const off = displacement(source, theta, s)
      if (!off) {
        hidden++
        if (seen) hiddenThoughSeen++
        continue
      }
      const deg = (theta * 180) / Math.PI
      places.push({ mm: Math.hypot(...off), photo: used[source].photo.id, deg, s, around: off[0], along: off[1], column, row })
      const next = map.sources?.[row * size.width + ((column + pxPerMm) % size.width)] ?? 255
      if (next === 255 || next === source) continue
      const other = displacement(next, theta, s)
      if (!other) continue
      const apart = [off[0] - other[0], off[1] - other[1]]
      const sigma = [0, 1].map((axis) => Math.hypot(sigmaOf(used[source].fit, theta, s)[axis], sigmaOf(used[next].fit, theta, s)[axis]))
      seams.push({ mm: Math.hypot(...apart), sigmas: Math.max(Math.abs(apart[0]) / sigma[0], Math.abs(apart[1]) / sigma[1]) })
    }
  }
  const percent = (part: number, of: number) => `${((100 * part) / Math.max(1, of)).toFixed(2)} %`
  const mm = places.map((place) => place.mm)
  console.log(
    `seed ${seed}: ${used.length} photographs rolled out, ${leftOut.length} left out\n` +
      `  covered ${percent(covered, photographed)} of what was photographed; hidden in the photograph it is from ${percent(hidden, shown)}, though another sees it ${percent(hiddenThoughSeen, shown)}\n` +
      `  displaced: median ${at(mm, 0.5)} mm, 95 % ${at(mm, 0.95)} mm, at most ${at(mm, 1)} mm\n` +
      `  at ${seams.length} places of seams apart: median ${at(
        seams.map((one) => one.mm),
        0.5,
      )} mm, 95 % ${at(
        seams.map((one) => one.mm),
        0.95,
      )} mm; within 1.96 sigma ${percent(seams.filter(({ sigmas }) => sigmas <= 1.96).length, seams.length)}`,
  )
  for (const { id, reason } of leftOut) console.log(`    ${id} left out: ${reason}`)
  const worst = worstOf(places, surface.radius)
  for (const { mm, photo, deg, s, around, along } of worst)
    console.log(
      `    ${mm.toFixed(3)} mm in ${photo} at ${deg.toFixed(0)} degrees, s ${s.toFixed(1)}: ${around.toFixed(3)} around, ${along.toFixed(3)} along`,
    )
  if (folder) await draw(path.join(folder, `worst-${seed}.png`), map, worst)
}

function between(from: number, to: number, share: number): number {
  return from + (to - from) * share
}

/** Of one place on the map, around and along, mm; without the noise of a pick of its own. */
function sigmaOf(fit: Fit, theta: number, s: number): [number, number] {
  const covariance = verticesCovariance(fit, [{ theta, s }], 0)
  // four by four: the vertex, then the oil hole's place
  return covariance ? [Math.sqrt(covariance[0]), Math.sqrt(covariance[5])] : [Number.NaN, Number.NaN]
}

function at(values: number[], share: number): string {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]?.toFixed(3) ?? '-'
}

/** The ten worst places, 6 mm or more apart. */
function worstOf(places: readonly Place[], radius: number): Place[] {
  const chosen: Place[] = []
  for (const place of [...places].sort((a, b) => b.mm - a.mm)) {
    const near = chosen.some((one) => Math.hypot((((one.deg - place.deg) * Math.PI) / 180) * radius, one.s - place.s) < 6)
    if (!near) chosen.push(place)
    if (chosen.length === 10) break
  }
  return chosen
}

/** Each worst place in the middle of 10 mm of the map, three times as large, side by side. */
async function draw(place: string, { rgba, width, height }: Rollout, worst: readonly Place[]): Promise<void> {
  const side = 10 * pxPerMm
  await mkdir(path.dirname(place), { recursive: true })
  const pieces = await Promise.all(
    worst.map(async ({ column, row }, i) => {
      const left = Math.min(width - side, Math.max(0, column - side / 2))
      const top = Math.min(height - side, Math.max(0, row - side / 2))
      const piece = await sharp(Buffer.from(rgba.buffer), { raw: { width, height, channels: 4 } })
        .extract({ left, top, width: side, height: side })
        .resize(3 * side)
        .png()
        .toBuffer()
      return { input: piece, left: (i % 5) * (3 * side + 8), top: Math.floor(i / 5) * (3 * side + 8) }
    }),
  )
  await sharp({ create: { width: 5 * (3 * side + 8), height: 2 * (3 * side + 8), channels: 3, background: '#ff00ff' } })
    .composite(pieces)
    .png()
    .toFile(place)
}
