/**
 * Photographs of rendered shop sets laid beside each other, and close-ups placed, beside the true cameras:
 * `npx tsx tests/bench/shop-alignment.bench.ts [--ultraviolet] [--square] [--scale 1] [--bare] [--each] SEED [SEEDS]`. For places all over each photograph
 * that it truly sees within 60 degrees of the normal (the renderer's own pinhole), how far the fit puts their pixels from them, in mm and in its
 * own sigmas. Placed wrongly is what lies more than 0.5 mm off in the median. `--bare` takes the close-ups' handles away, `--each` says every photograph,
 * `--square` has cameras nearly square to the shaft.
 */
import { fitPhotos } from '../../lib/finding/assess'
import { wrapped } from '../../lib/journal/wrapped-angle'
import type { Fit } from '../../lib/photo/cylinder-fit'
import { verticesCovariance } from '../../lib/photo/map-covariance'
import { pixelToMap } from '../../lib/photo/unproject'
import { alignJournal } from '../../lib/rollout/align-journal'
import { type Pinhole, pixelOf } from '../fixtures/render/pinhole'
import { shopFiles } from './shop-files'

const wrongMm = 0.5
const args = process.argv.slice(2)
const flag = (name: string) => args.includes(name) && args.splice(args.indexOf(name), 1).length > 0
const option = (name: string) => (args.includes(name) ? args.splice(args.indexOf(name), 2)[1] : undefined)
const lighting = flag('--ultraviolet') ? 'ultraviolet' : 'white'
const [bare, each, square] = [flag('--bare'), flag('--each'), flag('--square')]
const scale = Number(option('--scale') ?? 1)
const [first, count] = [Number(args[0] ?? 101), Number(args[1] ?? 1)]

type Off = { mm: number; sigmas: [number, number] }
type Kind = 'own' | 'lent' | 'close'
/** Places of the photographs that are placed; how many are not. */
type Tally = { placed: Off[][]; refused: number }

const tallies: Record<Kind, Tally> = {
  own: { placed: [], refused: 0 },
  lent: { placed: [], refused: 0 },
  close: { placed: [], refused: 0 },
}
let [seconds, processor] = [0, 0]
for (let seed = first; seed < first + count; seed++) await one(seed)
const words: Record<Kind, string> = { own: 'with an angle of their own', lent: 'with an angle from neighbours', close: 'close-ups' }
for (const kind of ['own', 'lent', 'close'] as const) console.log(`${words[kind]}: ${summary(tallies[kind])}`)
console.log(`${(seconds / count).toFixed(1)} s a set, ${(processor / count).toFixed(1)} s of processors`)

async function one(seed: number): Promise<void> {
  const { inspection, truth, lensOf, pictureOf } = await shopFiles(seed, lighting, scale, square)
  const photos = inspection.photos.map((photo) =>
    bare && truth.photos[photo.id].close
      ? { ...photo, handles: { sides: [[], []] as [[], []], rings: [], oilHoles: [], clock: [], strip: null } }
      : photo,
  )
  const [journal] = inspection.journals
  const fits = fitPhotos({ ...inspection, photos }, Object.fromEntries(photos.map((photo) => [photo.id, lensOf(photo)])))
  const fitted = photos.flatMap((photo) => {
    const outcome = fits.get(photo.id)
    return outcome ? [{ photo, lens: lensOf(photo), outcome }] : []
  })
  const [from, used] = [performance.now(), process.cpuUsage()]
  const aligned = await alignJournal(journal, fitted, pictureOf)
  const { user, system } = process.cpuUsage(used)
  seconds += (performance.now() - from) / 1000
  processor += (user + system) / 1e6
  const said = fitted.map(({ photo, outcome }) => {
    const now = aligned.get(photo.id) ?? outcome
    const ownAngle = outcome.ok && outcome.value.rollKnown && outcome.value.senseKnown
    const kind: Kind = truth.photos[photo.id].close ? 'close' : ownAngle ? 'own' : 'lent'
    if (!now.ok || !now.value.rollKnown || !now.value.slideKnown || !now.value.senseKnown) {
      tallies[kind].refused++
      return `  ${photo.id} ${kind}: ${now.ok ? now.value.warnings.map(({ code }) => code).join(', ') : now.reason.code}`
    }
    const places = offsOf(now.value, truth.photos[photo.id].camera, kind === 'close')
    tallies[kind].placed.push(places)
    const codes = now.value.warnings.map(({ code }) => code).filter((code) => code !== 'roll-from-neighbours')
    return `  ${photo.id} ${kind}: ${figures(places)} ${codes.join(', ')}`
  })
  console.log(`set ${seed}, ${journal.diameter.toFixed(0)} mm across, ${((performance.now() - from) / 1000).toFixed(1)} s`)
  if (each) console.log(said.join('\n'))
}

function offsOf(fit: Fit, camera: Pinhole, close: boolean): Off[] {
  const { surface } = fit
  const found: Off[] = []
  const [columns, rows] = close ? [720, 60] : [72, 12]
  for (let i = 0; i < columns; i++) {
    for (let k = 0; k < rows; k++) {
      const theta = ((i + 0.5) / columns) * 2 * Math.PI
      const s = surface.frontTangentS + ((k + 0.5) / rows) * (surface.rearTangentS - surface.frontTangentS)
      const z = surface.frontTangentZ + s - surface.frontTangentS
      const place: [number, number, number] = [surface.radius * Math.cos(theta), surface.radius * Math.sin(theta), z]
      const away = camera.centre.map((value, axis) => value - place[axis])
      const cosine = (away[0] * Math.cos(theta) + away[1] * Math.sin(theta)) / Math.hypot(...away)
      const pixel = cosine > 0.5 ? pixelOf(camera, place) : null
      if (!pixel || pixel[0] < 0 || pixel[1] < 0 || pixel[0] > camera.width || pixel[1] > camera.height) continue
      const seen = pixelToMap(fit.surface, fit.camera, { u: pixel[0], v: pixel[1] })
      if (!seen.ok) continue
      const around = surface.radius * wrapped(seen.value.theta - theta)
      const along = seen.value.s - s
      const covariance = verticesCovariance(fit, [seen.value], 0)
      if (!covariance) continue
      found.push({ mm: Math.hypot(around, along), sigmas: [around / Math.sqrt(covariance[0]), along / Math.sqrt(covariance[5])] })
    }
  }
  return found
}

function summary({ placed, refused }: Tally): string {
  const wrong = placed.filter((places) => quantile(mmOf(places), 0.5) > wrongMm).length
  // each photograph counts the same, however much of the journal it shows
  const inside = placed.flatMap((places) => (places.length > 0 ? [insideOf(places)] : []))
  const share = inside.reduce((sum, value) => sum + value, 0) / Math.max(1, inside.length)
  return `${placed.length} placed, ${refused} refused, ${wrong} wrong; ${figures(placed.flat())}; a photograph's mean share inside 1.96 sigma ${(100 * share).toFixed(1)} %`
}

function figures(places: readonly Off[]): string {
  if (places.length === 0) return 'nothing seen'
  const mm = mmOf(places)
  const rms = Math.sqrt(places.reduce((sum, { sigmas: [a, b] }) => sum + (a * a + b * b) / 2, 0) / places.length)
  const at = (share: number) => quantile(mm, share).toFixed(3)
  return `median ${at(0.5)} mm, 95 % ${at(0.95)}, at most ${at(1)}; inside 1.96 sigma ${(100 * insideOf(places)).toFixed(1)} %, ${rms.toFixed(2)} in sigmas`
}

function insideOf(places: readonly Off[]): number {
  const all = places.flatMap(({ sigmas }) => sigmas)
  return all.filter((value) => Math.abs(value) <= 1.96).length / all.length
}

function mmOf(places: readonly Off[]): number[] {
  return places.map(({ mm }) => mm)
}

function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN
}
