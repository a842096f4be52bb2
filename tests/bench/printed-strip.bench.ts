/**
 * Figures of the printed strip on journals of our own rendering: `npx tsx tests/bench/printed-strip.bench.ts MODE FIRST COUNT PICKED SCALE KEPT SECONDS`.
 * `corners` takes the codes' printed corners with 0.06 px of noise (a second a journal), `holes` renders the surroundings of the oil hole
 * besides (ten seconds a journal), half of the holes bevelled, `pictures` renders every photograph whole at 12 megapixels (some minutes a journal)
 * and times finding and fitting. PICKED lists the photographs, from 0, with an oil hole and rings picked (1 if left out), SCALE is that of the print
 * (empty: near 1), KEPT a file that collects several runs into one table: what stands in it is not done again; with SECONDS a run begins
 * nothing new after so long, and the same command goes on. The floor is the true camera with the same 0.7 px picks of the marks.
 */
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { assess, type FitOutcome } from '../../lib/finding/assess'
import { readInspection } from '../../lib/journal/read-inspection'
import { surfaceOf } from '../../lib/journal/surface'
import type { Findings } from '../../lib/model/findings'
import type { InspectionMm } from '../../lib/model/inspection'
import { done } from '../../lib/model/result'
import { findStrip } from '../../lib/photo/printed-strip-find'
import { entrySight, type FoundStrip, seatOf, stripEntries } from '../../lib/photo/printed-strip-fit'
import type { StripMarker } from '../../lib/photo/printed-strip-markers'
import { mouthRims, type StripRim } from '../../lib/photo/printed-strip-mouths'
import { fitStripPhotos } from '../../lib/photo/printed-strip-result'
import { asRotation } from '../fixtures/render/cases'
import { noiseFrom } from '../fixtures/render/noise'
import { pixelOf } from '../fixtures/render/pinhole'
import { type StripPictureOptions, renderStrip } from '../fixtures/render/strip-picture'
import { stripJournal } from '../fixtures/render/strip-set'

const [mode = 'corners', first = '30000', count = '40', picked = '1', scale = '', kept = '', seconds = 'Infinity'] = process.argv.slice(2)
const cornerPx = 0.06

/** `inside`: 1 for each angle, distance to a fillet or to a hole within 1.96 of its published sigmas, else 0. */
type Errors = { angle: number[]; fillet: number[]; hole: number[]; place: number[]; inside: number[] }
const nothing = (): Errors => ({ angle: [], fillet: [], hole: [], place: [], inside: [] })
const begun = {
  kinds: { full: { strip: nothing(), floor: nothing() }, close: { strip: nothing(), floor: nothing() } },
  times: [] as number[],
  photographs: 0,
  trusted: 0,
  scaleNamed: 0,
  rimsUsed: 0,
  seeds: [] as number[],
  /** What was found in pictures of journals that are not done yet, and how long it took, ms. */
  pictures: {} as Record<string, { found: FoundStrip; ms: number }>,
}
const sums: typeof begun = kept !== '' && existsSync(kept) ? JSON.parse(readFileSync(kept, 'utf8')) : begun
const { kinds, times } = sums
const keep = () => kept !== '' && writeFileSync(kept, JSON.stringify(sums))
const timeIsUp = () => performance.now() > 1000 * Number(seconds)

for (let seed = Number(first); seed < Number(first) + Number(count) && !timeIsUp(); seed++)
  if (!sums.seeds.includes(seed)) measureJournal(seed)
report()

function measureJournal(seed: number): void {
  const set = stripJournal(seed, { picked: picked.split(',').map(Number), ...(scale === '' ? {} : { scale: Number(scale) }) })
  const file = {
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: { id: 'S1' },
    journals: [set.journal],
    photos: set.photos,
    marks: set.marks,
  }
  const read = readInspection(JSON.parse(JSON.stringify(file)))
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  const inspection = read.value
  const [journal] = inspection.journals
  const found = new Map<string, FoundStrip>()
  const bevel = bevelOf(seed)
  for (const view of set.views) {
    const photo = inspection.photos.find(({ id }) => id === view.id)
    if (!photo) continue
    const codes = givenCodes(set.truth.photos[view.id].markers, seed)
    if (mode !== 'pictures') {
      found.set(photo.id, { markers: codes, rims: mode === 'holes' ? rimsAround(set, view, journal, photo, codes, seed) : [] })
      continue
    }
    const name = `${seed} ${view.id}`
    if (!sums.pictures[name]) {
      if (timeIsUp()) return
      const picture = renderStrip(set.metal, set.band, view.camera, set.lines, { ...view, seed, chamfer: bevel })
      const before = performance.now()
      sums.pictures[name] = { found: findStrip(journal, photo, null, picture), ms: performance.now() - before }
      keep()
    }
    found.set(photo.id, sums.pictures[name].found)
  }
  const before = performance.now()
  const fits = fitStripPhotos(
    journal,
    stripEntries(inspection.photos, found, () => null),
  )
  const fitMs = (performance.now() - before) / set.views.length
  for (const view of set.views) {
    const picture = sums.pictures[`${seed} ${view.id}`]
    if (picture) times.push(picture.ms + fitMs)
    delete sums.pictures[`${seed} ${view.id}`]
  }
  const findings = assess(inspection, {}, fits)
  const floor = assess(inspection, {}, trueFits(inspection, set))
  sums.seeds.push(seed)
  if (findings.photos.every(({ warnings }) => warnings.some(({ code }) => code === 'strip-scale'))) sums.scaleNamed++
  for (const photo of findings.photos) {
    sums.photographs++
    if (photo.trusted) sums.trusted++
    else console.log(`${seed} ${photo.id}: ${photo.warnings.map(({ code, text }) => `${code}: ${text}`).join(' ')}`)
  }
  for (const fit of fits.values()) if (fit.ok && fit.value.strip?.rims.some(({ used }) => used)) sums.rimsUsed++
  for (const [id, true_] of Object.entries(set.truth.marks)) {
    const photoId = id.split('@')[1]
    if (!findings.photos.find((photo) => photo.id === photoId)?.trusted) continue
    const kind = kinds[photoId.includes('full') ? 'full' : 'close']
    addErrors(kind.strip, findings, id, true_, journal.diameter / 2)
    addErrors(kind.floor, floor, id, true_, journal.diameter / 2)
  }
  keep()
}

function report(): void {
  const { seeds, photographs, trusted, scaleNamed, rimsUsed } = sums
  console.log(
    `journals ${seeds.length}, photographs ${photographs}, trusted ${((100 * trusted) / photographs).toFixed(1)} %, rims measured in ${rimsUsed}, strip-scale on every photograph of ${scaleNamed}`,
  )
  for (const [kind, { strip, floor }] of Object.entries(kinds)) {
    if (strip.angle.length === 0) continue
    const inside = strip.inside.reduce((sum, one) => sum + one, 0) / strip.inside.length
    console.log(`${kind}: ${(100 * inside).toFixed(1)} % of ${strip.inside.length} angles and distances inside 1.96 sigma`)
    for (const [name, limit] of [
      ['angle', (f: number) => 1.2 * f + 0.1],
      ['fillet', (f: number) => Math.hypot(f, 0.05)],
      ['hole', (f: number) => Math.hypot(f, 0.05)],
      ['place', () => 0.5],
    ] as const) {
      const [own, least] = [p95(strip[name]), p95(floor[name])]
      const shown = `p95 ${own.toFixed(3)}, floor ${least.toFixed(3)}, wanted ${limit(least).toFixed(3)}, worst ${Math.max(...strip[name]).toFixed(3)}`
      console.log(`${kind} ${name} (${name === 'angle' ? 'degrees' : 'mm'}): ${shown}, of ${strip[name].length}`)
    }
  }
  if (times.length > 0)
    console.log(
      `finding and fitting, 12 megapixels: median ${times.sort((a, b) => a - b)[times.length >> 1].toFixed(0)} ms, worst ${times.at(-1)?.toFixed(0)} ms`,
    )
}

function givenCodes(markers: { id: number; printed: ([number, number] | null)[] }[], seed: number): StripMarker[] {
  const noise = noiseFrom(seed + 7)
  return markers.map(({ id, printed }) => {
    const [a, b, c, d] = printed.map((one) => ({
      u: (one?.[0] ?? 0) + cornerPx * noise.normal(),
      v: (one?.[1] ?? 0) + cornerPx * noise.normal(),
    }))
    return { id, corners: [a, b, c, d] }
  })
}

function trueFits(inspection: InspectionMm, set: ReturnType<typeof stripJournal>): Map<string, FitOutcome> {
  return new Map(
    set.views.map(({ id, camera }): [string, FitOutcome] => {
      const { rotation, translation } = asRotation(camera)
      const lens = { width: camera.width, height: camera.height, focalPx: camera.focalPx, k1: camera.k1 }
      return [
        id,
        done({
          camera: { ...lens, rotation: rotation as never, translation },
          surface: surfaceOf(inspection.journals[0]),
          rollKnown: true,
          slideKnown: true,
          senseKnown: true,
          trusted: true,
          residualsWithinRange: true,
          rmsPx: 0,
          chiSquare: 0,
          degreesOfFreedom: 100,
          pickSigmaPx: 0.7,
          residuals: [],
          unknowns: [],
          covariance: new Float64Array(0),
          sigmas: { angleDeg: 0, filletMm: 0, aroundMm: 0 },
          contourSigns: [1, -1],
          warnings: [],
        }),
      ]
    }),
  )
}

type TrueMark = ReturnType<typeof stripJournal>['truth']['marks'][string]

function addErrors(errors: Errors, { marks }: Findings, id: string, true_: TrueMark, radius: number): void {
  const mark = marks.find((one) => one.id === id)
  if (!mark || mark.signedAngleDeg === null || mark.filletNearestMm === null) return
  const turn = Math.abs(mark.signedAngleDeg - true_.signedAngle)
  const angle = Math.min(turn, 180 - turn)
  const fillet = Math.abs(mark.filletNearestMm - true_.filletNearest)
  errors.angle.push(angle)
  errors.fillet.push(fillet)
  errors.inside.push(within(angle, mark.sigma.angleDeg), within(fillet, mark.sigma.filletMm))
  // without a hole in sight of the photograph that is picked, angles are relative to each photograph
  if (!mark.oilHoles) return
  const hole = Math.abs(mark.oilHoles[0].distanceMm - true_.holes[0].distance)
  errors.hole.push(hole)
  errors.inside.push(within(hole, mark.sigma.oilHoleMm))
  true_.points.forEach(({ angleDeg, axial }, i) => {
    const around = mark.points[i].angleDeg - angleDeg
    errors.place.push(
      Math.hypot(((around - 360 * Math.round(around / 360)) * Math.PI * radius) / 180, (mark.points[i].axial ?? 99) - axial),
    )
  })
}

function within(error: number, sigma: number | null): 0 | 1 {
  return sigma !== null && error <= 1.96 * sigma ? 1 : 0
}

/** Half of the holes are bevelled, bright or dark, some brighter on one side. */
function bevelOf(seed: number): StripPictureOptions['chamfer'] {
  const noise = noiseFrom(seed + 13)
  if (noise.uniform(0, 1) < 0.5) return undefined
  const grey = noise.uniform(0, 1) < 0.7 ? noise.uniform(190, 235) : noise.uniform(60, 100)
  return { share: noise.uniform(0.06, 0.25), grey, slope: noise.uniform(-60, 60) }
}

/** Rims in a picture of which only what surrounds the oil hole is rendered. */
function rimsAround(
  set: ReturnType<typeof stripJournal>,
  view: ReturnType<typeof stripJournal>['views'][number],
  journal: InspectionMm['journals'][number],
  photo: InspectionMm['photos'][number],
  codes: StripMarker[],
  seed: number,
): readonly StripRim[] {
  const seat = seatOf(journal)
  const [hole] = set.metal.holes
  const seen = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => {
    const theta = ((hole.angleDeg + ((1.6 * hole.mouthAround) / set.metal.radius) * 28.6 * Math.cos((k * Math.PI) / 4)) * Math.PI) / 180
    const z = hole.axial + 0.8 * hole.mouthAlong * Math.sin((k * Math.PI) / 4)
    return pixelOf(view.camera, [set.metal.radius * Math.cos(theta), set.metal.radius * Math.sin(theta), z])
  })
  if (!seat || seen.some((one) => one === null)) return []
  const [us, vs] = [0, 1].map((axis) => seen.map((one) => (one as [number, number])[axis]))
  const left = Math.max(0, Math.floor(Math.min(...us) - 40))
  const top = Math.max(0, Math.floor(Math.min(...vs) - 40))
  const width = Math.min(view.camera.width, Math.ceil(Math.max(...us) + 40)) - left
  const height = Math.min(view.camera.height, Math.ceil(Math.max(...vs) + 40)) - top
  const sighting = entrySight(journal, seat, { photo, lens: null, markers: codes, rims: [] }, 1)
  if (width < 20 || height < 20 || sighting.state !== 'fits') return []
  const window = { left, top, width, height }
  const picture = renderStrip(set.metal, set.band, view.camera, set.lines, { ...view, seed, chamfer: bevelOf(seed), window })
  return mouthRims(picture, journal, seat, sighting.sight)
}

function p95(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(0.95 * values.length))] ?? Number.NaN
}
