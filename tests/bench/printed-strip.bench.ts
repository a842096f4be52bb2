/**
 * Figures of the printed strip on journals of our own rendering: `npx tsx tests/bench/printed-strip.bench.ts corners 30000 100` takes the
 * codes' printed corners with 0.06 px of noise (a second a journal), `… pictures 30000 2` renders every photograph at 12 megapixels
 * (some minutes a journal) and times finding and fitting. A fourth word lists the photographs, from 0, with an oil hole and rings picked (1 if
 * left out), a fifth is the scale of the print. The floor is the true camera with the same 0.7 px picks of the marks.
 */
import { assess, type FitOutcome } from '../../lib/finding/assess'
import { readInspection } from '../../lib/journal/read-inspection'
import { surfaceOf } from '../../lib/journal/surface'
import type { Findings } from '../../lib/model/findings'
import type { InspectionMm } from '../../lib/model/inspection'
import { done } from '../../lib/model/result'
import { findStrip } from '../../lib/photo/printed-strip-find'
import { stripEntries } from '../../lib/photo/printed-strip-fit'
import type { StripMarker } from '../../lib/photo/printed-strip-markers'
import { fitStripPhotos } from '../../lib/photo/printed-strip-result'
import { asRotation } from '../fixtures/render/cases'
import { noiseFrom } from '../fixtures/render/noise'
import { renderStrip } from '../fixtures/render/strip-picture'
import { stripJournal } from '../fixtures/render/strip-set'

const [mode = 'corners', first = '30000', count = '40', picked = '1', scale = ''] = process.argv.slice(2)
const cornerPx = 0.06

type Errors = { angle: number[]; fillet: number[]; hole: number[]; place: number[] }
const nothing = (): Errors => ({ angle: [], fillet: [], hole: [], place: [] })
const kinds = { full: { strip: nothing(), floor: nothing() }, close: { strip: nothing(), floor: nothing() } }
const times: number[] = []
let [photographs, trusted, scaleNamed, journals] = [0, 0, 0, 0]

for (let seed = Number(first); seed < Number(first) + Number(count); seed++) {
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
  const found = new Map<string, readonly StripMarker[]>()
  for (const view of set.views) {
    const photo = inspection.photos.find(({ id }) => id === view.id)
    if (!photo) continue
    if (mode === 'pictures') {
      const picture = renderStrip(set.metal, set.band, view.camera, set.lines, { ...view, seed })
      const before = performance.now()
      found.set(photo.id, findStrip(journal, photo, null, picture))
      times.push(performance.now() - before)
    } else found.set(photo.id, givenCodes(set.truth.photos[view.id].markers, seed))
  }
  const before = performance.now()
  const fits = fitStripPhotos(
    journal,
    stripEntries(inspection.photos, found, () => null),
  )
  if (mode === 'pictures')
    for (let i = 0; i < set.views.length; i++) times[times.length - 1 - i] += (performance.now() - before) / set.views.length
  const findings = assess(inspection, {}, fits)
  const floor = assess(inspection, {}, trueFits(inspection, set))
  journals++
  if (findings.photos.every(({ warnings }) => warnings.some(({ code }) => code === 'strip-scale'))) scaleNamed++
  for (const photo of findings.photos) {
    photographs++
    if (photo.trusted) trusted++
    else console.log(`${seed} ${photo.id}: ${photo.warnings.map(({ code, text }) => `${code}: ${text}`).join(' ')}`)
  }
  for (const [id, true_] of Object.entries(set.truth.marks)) {
    const photoId = id.split('@')[1]
    if (!findings.photos.find((photo) => photo.id === photoId)?.trusted) continue
    const kind = kinds[photoId.includes('full') ? 'full' : 'close']
    addErrors(kind.strip, findings, id, true_, journal.diameter / 2)
    addErrors(kind.floor, floor, id, true_, journal.diameter / 2)
  }
}

console.log(
  `journals ${journals}, photographs ${photographs}, trusted ${((100 * trusted) / photographs).toFixed(1)} %, strip-scale on every photograph of ${scaleNamed}`,
)
for (const [kind, { strip, floor }] of Object.entries(kinds))
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
if (times.length > 0)
  console.log(
    `finding and fitting, 12 megapixels: median ${times.sort((a, b) => a - b)[times.length >> 1].toFixed(0)} ms, worst ${times.at(-1)?.toFixed(0)} ms`,
  )

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
  errors.angle.push(Math.min(turn, 180 - turn))
  errors.fillet.push(Math.abs(mark.filletNearestMm - true_.filletNearest))
  // without a hole in sight of the photograph that is picked, angles are relative to each photograph
  if (!mark.oilHoles) return
  errors.hole.push(Math.abs(mark.oilHoles[0].distanceMm - true_.holes[0].distance))
  true_.points.forEach(({ angleDeg, axial }, i) => {
    const around = mark.points[i].angleDeg - angleDeg
    errors.place.push(
      Math.hypot(((around - 360 * Math.round(around / 360)) * Math.PI * radius) / 180, (mark.points[i].axial ?? 99) - axial),
    )
  })
}

function p95(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.min(values.length - 1, Math.floor(0.95 * values.length))] ?? Number.NaN
}
