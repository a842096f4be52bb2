/**
 * How long a fit takes: `npx tsx tests/bench/fit.bench.ts [cases]`. Cold (no earlier fit to start from, the machine code as warm as it happens to be),
 * a refit under a dragged handle, fits without both sides, contradictory handles, and the very first fit of a process. Beside each, in the same
 * run and turn about, `solvePnP` (iterative, Levenberg-Marquardt) of the npm OpenCV build on as many points of known place, noise alike.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import cv from '@techstark/opencv-js'
import { buildSync } from 'esbuild'
import { readInspection } from '../../lib/journal/read-inspection'
import type { Journal } from '../../lib/model/journal'
import type { Photo } from '../../lib/model/photo'
import { type Fit, fitPhoto } from '../../lib/photo/cylinder-fit'
import { practiceFits } from '../../lib/photo/practice-fit'
import { type CaseOptions, plainOptions, type RenderedCase, randomCase } from '../fixtures/render/cases'
import { noiseFrom } from '../fixtures/render/noise'
import { pixelOf } from '../fixtures/render/pinhole'
import { spoilPicks } from '../published/gross-picks'

const cases = Number(process.argv[2] ?? 100)
const { picks } = plainOptions

type Case = { rendered: RenderedCase; journal: Journal; photo: Photo }

function casesOf(options: Partial<CaseOptions>, spoil = false): Case[] {
  return Array.from({ length: cases }, (_, i) => {
    const rendered = randomCase(90_000 + i, { marks: 0, ...options })
    if (spoil) spoilPicks(rendered, 91_000 + i)
    const read = readInspection(rendered.inspection)
    if (!read.ok) throw new Error(JSON.stringify(read.reason))
    return { rendered, journal: read.value.journals[0], photo: read.value.photos[0] }
  })
}

function fitted({ journal, photo }: Case): Fit {
  const outcome = fitPhoto(journal, photo, null)
  if (!outcome.ok) throw new Error(outcome.reason.code)
  return outcome.value
}

/** The same photograph with one handle held and moved by (du, dv). */
function dragged({ photo }: Case, du: number, dv: number): Photo {
  const rings = photo.handles.rings.map((ring, r) =>
    r > 0
      ? ring
      : {
          ...ring,
          points: ring.points.map(([u, v], i) => (i === 2 ? ([u + du, v + dv] as [number, number]) : ([u, v] as [number, number]))),
        },
  )
  return { ...photo, handles: { ...photo.handles, rings } }
}

/** OpenCV's pose from 25 points of known place, picked with the same noise. */
function outsidePose({ rendered: { camera, metal, seed } }: Case): () => void {
  const noise = noiseFrom(seed)
  const facing = Math.atan2(camera.centre[1], camera.centre[0])
  const places: number[] = []
  const pixels: number[] = []
  for (let k = 0; k < 25; k++) {
    const theta = facing + noise.uniform(-1, 1)
    const place = [metal.radius * Math.cos(theta), metal.radius * Math.sin(theta), noise.uniform(0, metal.width)] as const
    const [u, v] = pixelOf(camera, place) ?? [0, 0]
    places.push(...place)
    pixels.push(u + 0.7 * noise.normal(), v + 0.7 * noise.normal())
  }
  const objectPoints = cv.matFromArray(25, 3, cv.CV_64F, places)
  const imagePoints = cv.matFromArray(25, 2, cv.CV_64F, pixels)
  const { focalPx, width, height } = camera
  const lens = cv.matFromArray(3, 3, cv.CV_64F, [focalPx, 0, width / 2, 0, focalPx, height / 2, 0, 0, 1])
  const straight = cv.Mat.zeros(1, 4, cv.CV_64F)
  const [turn, shift] = [new cv.Mat(), new cv.Mat()]
  // the build's types leave solvePnP out
  const { solvePnP } = cv as unknown as { solvePnP: (...args: unknown[]) => boolean }
  return () => {
    if (!solvePnP(objectPoints, imagePoints, lens, straight, turn, shift, false, 0)) throw new Error('solvePnP found no pose')
  }
}

function timed(run: () => void): number {
  const started = performance.now()
  run()
  return performance.now() - started
}

function report(name: string, ours: readonly number[], theirs: readonly number[]): void {
  const at = (values: readonly number[], share: number) => [...values].sort((a, b) => a - b)[Math.floor(share * (values.length - 1))]
  const row = (values: readonly number[]) => `median ${at(values, 0.5).toFixed(3)}, 95th percentile ${at(values, 0.95).toFixed(3)} ms`
  console.log(`${name}: ${row(ours)}; solvePnP ${row(theirs)}; ratio of medians ${(at(ours, 0.5) / at(theirs, 0.5)).toFixed(2)}`)
}

/** The first fit of a fresh process, its module loaded, after so many fits for practice: ms by the clock, and of processor time (compiling on other threads included). */
function firstOfProcess({ journal, photo }: Case, practice: number): [clock: number, processor: number] {
  const folder = mkdtempSync(join(tmpdir(), 'throwmark-first-fit-'))
  try {
    writeFileSync(join(folder, 'case.json'), JSON.stringify({ journal, photo }))
    writeFileSync(
      join(folder, 'first.ts'),
      `import { readFileSync } from 'node:fs'
       import { fitPhoto } from ${JSON.stringify(join(import.meta.dirname, '../../lib/photo/cylinder-fit.ts'))}
       import { practiceFit } from ${JSON.stringify(join(import.meta.dirname, '../../lib/photo/practice-fit.ts'))}
       for (let turn = 0; turn < ${practice}; turn++) {
         practiceFit(turn)
         await new Promise((resolve) => setTimeout(resolve, 20))
       }
       const { journal, photo } = JSON.parse(readFileSync(${JSON.stringify(join(folder, 'case.json'))}, 'utf8'))
       const before = process.cpuUsage()
       const started = performance.now()
       fitPhoto(journal, photo, null)
       const clock = performance.now() - started
       const { user, system } = process.cpuUsage(before)
       console.log(JSON.stringify([clock, (user + system) / 1000]))`,
    )
    const outfile = join(folder, 'first.mjs')
    buildSync({ entryPoints: [join(folder, 'first.ts')], bundle: true, platform: 'node', format: 'esm', outfile })
    return JSON.parse(spawnSync(process.execPath, [outfile], { encoding: 'utf8' }).stdout)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

if (!cv.Mat) {
  await new Promise<void>((resolve) => {
    cv.onRuntimeInitialized = () => resolve()
  })
}

const kinds: [string, Case[]][] = [
  ['cold, all handles, focal known', casesOf({})],
  ['cold, focal length and k1 unknown', casesOf({ focalKnown: false, distortion: 'solve' })],
  ['cold, one side, two rings, the hole', casesOf({ picks: { ...picks, sidePoints: [5, 0] } })],
  ['cold, two rings and the hole', casesOf({ picks: { ...picks, sidePoints: [0, 0] } })],
  ['cold, gross errors in up to one pick in six', casesOf({}, true)],
]
for (const [name, own] of kinds) {
  const poses = own.map(outsidePose)
  const [ours, theirs]: [number[], number[]] = [[], []]
  for (let round = 0; round < 3; round++)
    own.forEach((one, i) => {
      ours.push(timed(() => fitted(one)))
      theirs.push(timed(poses[i]))
    })
  report(name, ours.slice(2 * cases), theirs.slice(2 * cases))
}

for (const [name, du, dv] of [
  ['refit under a handle dragged by 1.5 px', 1.2, 0.9],
  ['refit under a handle dragged by 40 px', 32, 24],
] as const) {
  const own = kinds[0][1]
  const poses = own.map(outsidePose)
  const fits = own.map(fitted)
  const [ours, theirs]: [number[], number[]] = [[], []]
  for (let round = 0; round < 3; round++)
    own.forEach((one, i) => {
      const photo = dragged(one, du, dv)
      ours.push(timed(() => fitPhoto(one.journal, photo, null, fits[i])))
      theirs.push(timed(poses[i]))
    })
  report(name, ours.slice(2 * cases), theirs.slice(2 * cases))
}

for (const practice of [0, practiceFits]) {
  const first = kinds[0][1].slice(0, 7).map((one) => firstOfProcess(one, practice))
  console.log(
    `first fit of a process after ${practice} for practice: ${first.map(([clock, processor]) => `${clock.toFixed(0)} (${processor.toFixed(0)})`).join(', ')} ms by the clock (of processor time)`,
  )
}
