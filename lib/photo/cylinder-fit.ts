/**
 * One photograph's camera from its handles: robust maximum likelihood over the axis line (4), the roll about it and
 * the slide along it where something shows them, the focal length under its prior, k1 where it is not known, and
 * fillet radii that carry an uncertainty of their own. Every start is followed; the cheapest end that faces the
 * camera wins. Covariance from J'J with the priors.
 */
import { type Surface, surfaceOf } from '../journal/surface'
import { add, apply } from '../journal/vector'
import type { Warning } from '../model/findings'
import type { Journal } from '../model/journal'
import { defaultPickSigmaPx, type Photo } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import type { Camera } from './camera'
import { fitQuality, type FitSigmas } from './fit-quality'
import { fitStarts } from './fit-starts'
import { baseOf, type FitBase, type FitState, stateAt, unknownCount, unknownIndex } from './fit-state'
import { fitWarnings } from './fit-warnings'
import { type HandleRef, type Measured, measure, type Observation, observationsOf } from './observation'
import { type LensData, lensPriors, type Prior } from './lens-priors'
import { type Linearisation, minimise } from './levenberg-marquardt'
import { chiSquare99 } from './quantiles'
import { inverseOfPositiveDefinite, quadraticForm } from './symmetric-matrix'

export type HandleResidual = {
  handle: HandleRef
  /** Length of the residual, px, and its part in units of its own expected deviation (studentised). */
  residualPx: number
  studentised: number
  /** The pick, and the predicted place nearest to it. */
  pick: { u: number; v: number }
  nearest: { u: number; v: number }
  /** The same distance on the metal, mm. */
  residualMm: number
}

export type Fit = {
  camera: Camera
  surface: Surface
  rollKnown: boolean
  slideKnown: boolean
  trusted: boolean
  /** False where the handles contradict each other beyond their picking noise. */
  residualsWithinRange: boolean
  /** Root mean square of the scalar residuals, px. */
  rmsPx: number
  chiSquare: number
  degreesOfFreedom: number
  pickSigmaPx: number
  residuals: HandleResidual[]
  /** Indices into the ten unknowns of fit-state.ts, and their covariance (k x k, row-major). */
  unknowns: number[]
  covariance: Float64Array
  sigmas: FitSigmas
  warnings: Warning[]
}

/** What is missing, as facts: the screen writes the sentence. */
export type FitFailure =
  | { code: 'no-handles' }
  | { code: 'too-few'; have: number; need: number; sides: number; rings: number }
  | { code: 'degenerate'; sides: number; rings: number }
  | { code: 'contradictory' }

/** Huber's bend, in pick sigmas: nearly all of the efficiency of least squares, bounded pull of a gross error. */
const huberBend = 2

export function fitPhoto(journal: Journal, photo: Photo, lens: LensData | null, warmStart?: Fit): Result<Fit, FitFailure> {
  const observations = observationsOf(journal, photo.handles)
  const surface = surfaceOf(journal)
  const counts = countHandles(observations)
  if (observations.length === 0) return failed({ code: 'no-handles' })
  const priors = lensPriors(photo, lens, surface)
  const rollKnown = observations.some((o) => o.type === 'point')
  const slideKnown = rollKnown || observations.some((o) => o.type === 'circle')
  const unknowns = freeUnknowns(rollKnown, slideKnown, priors)
  const scalars = scalarCount(observations)
  const need = 4 + (rollKnown ? 1 : 0) + (slideKnown ? 1 : 0)
  if (scalars < need) return failed({ code: 'too-few', have: scalars, need, sides: counts.sides, rings: counts.rings })

  const pickSigmaPx = photo.pickSigmaPx ?? defaultPickSigmaPx(photo.width)
  const task: FitTask = { observations, priors, unknowns, pickSigmaPx }
  const k1 = photo.k1 ?? 0
  const startLens = { width: photo.width, height: photo.height, focalPx: priors.startFocalPx, k1 }
  const starts = warmStart ? [{ ...baseOf(warmStart.camera, surface), width: photo.width, height: photo.height }] : fitStarts(surface, observations, startLens)
  const best = bestEnd(task, starts, surface) ?? (warmStart ? bestEnd(task, fitStarts(surface, observations, startLens), surface) : null)
  if (!best) return failed({ code: 'contradictory' })

  const { state, contourSigns } = best
  const base = baseOf(state.camera, state.surface)
  const atBest = stateAt(base, new Float64Array(unknownCount))
  const measured = observations.map((o) => measure(atBest, o, contourSigns))
  if (measured.some((m) => m === null)) return failed({ code: 'contradictory' })
  const information = informationOf(task, atBest, measured as Measured[])
  const covariance = inverseOfPositiveDefinite(information, unknowns.length)
  if (!covariance) return failed({ code: 'degenerate', ...counts })
  const bare = {
    ...(slideKnown ? { camera: state.camera, surface: state.surface } : endless(state)),
    rollKnown,
    slideKnown,
    pickSigmaPx,
    unknowns,
    covariance,
    ...residualsOf(task, atBest, measured as Measured[], covariance),
  }
  const quality = fitQuality(bare)
  if (!quality.determined) return failed({ code: 'degenerate', ...counts })
  const fit = { ...bare, sigmas: quality.sigmas, trusted: quality.trusted, residualsWithinRange: quality.residualsWithinRange }
  return done({ ...fit, warnings: fitWarnings(fit, quality, photo) })
}

/** Where nothing tells the place along the axis, the ends cannot be placed: a long bare cylinder about the same middle. */
function endless({ camera, surface }: FitState): { camera: Camera; surface: Surface } {
  const width = 40 * surface.radius
  const bare = surfaceOf({ diameter: 2 * surface.radius, width, fillets: { front: { form: 'step' }, rear: { form: 'step' } } })
  const shift = apply(camera.rotation, [0, 0, (surface.width - width) / 2])
  return { camera: { ...camera, translation: add(camera.translation, shift) }, surface: bare }
}

type FitTask = { observations: readonly Observation[]; priors: ReturnType<typeof lensPriors>; unknowns: readonly number[]; pickSigmaPx: number }
type End = { state: FitState; contourSigns: readonly [1 | -1, 1 | -1]; cost: number }

function freeUnknowns(rollKnown: boolean, slideKnown: boolean, priors: ReturnType<typeof lensPriors>): number[] {
  const free = [unknownIndex.tiltX, unknownIndex.tiltY, unknownIndex.offsetX, unknownIndex.offsetY]
  if (rollKnown) free.push(unknownIndex.roll)
  if (slideKnown) free.push(unknownIndex.slide)
  for (const prior of priors.list) free.push(prior.unknown)
  return free
}

/** How many starts are followed at most, and how many before an end that agrees with all handles is taken. */
const startsFollowed = { most: 12, least: 3 }

/** Follows starts to their ends, the most promising first, and takes the cheapest. */
function bestEnd(task: FitTask, starts: readonly FitBase[], surface: Surface): End | null {
  const candidates: { base: FitBase; signs: readonly [1 | -1, 1 | -1]; cost: number }[] = []
  for (const base of starts) {
    for (const signs of [
      [1, -1],
      [-1, 1],
    ] as const) {
      const cost = softCost(task, stateAt(base, new Float64Array(unknownCount)), signs)
      if (cost !== null) candidates.push({ base, signs, cost })
      if (!task.observations.some((o) => o.type === 'contour')) break
    }
  }
  candidates.sort((a, b) => a.cost - b.cost)
  let best: End | null = null
  const agreeing = chiSquare99(scalarCount(task.observations)) / 2
  for (let i = 0; i < Math.min(startsFollowed.most, candidates.length); i++) {
    if (best && i >= startsFollowed.least && best.cost < agreeing) break
    const end = follow(task, candidates[i].base, candidates[i].signs)
    if (end && plausible(task, end, surface) && (!best || end.cost < best.cost)) best = end
  }
  return best
}

function follow(task: FitTask, base: FitBase, contourSigns: readonly [1 | -1, 1 | -1]): End | null {
  const full = new Float64Array(unknownCount)
  const expand = (parameters: ArrayLike<number>): Float64Array => {
    full.fill(0)
    task.unknowns.forEach((slot, i) => {
      full[slot] = parameters[i]
    })
    return full
  }
  const solution = minimise(
    { linearise: (parameters) => linearise(task, base, expand(parameters), contourSigns) },
    new Float64Array(task.unknowns.length),
    { maxIterations: 60, costTolerance: 1e-10, stepTolerance: 1e-12 },
  )
  return solution && { state: stateAt(base, expand(solution.parameters)), contourSigns, cost: solution.cost }
}

/** Whitened, Huber-bent residuals with their Jacobian, priors last. */
function linearise(task: FitTask, base: FitBase, unknowns: Float64Array, signs: readonly [1 | -1, 1 | -1]): Linearisation | null {
  const state = stateAt(base, unknowns)
  const n = task.unknowns.length
  const residuals: number[] = []
  const rows: number[] = []
  for (const observation of task.observations) {
    const measured = measure(state, observation, signs)
    if (!measured) return null
    measured.residualsPx.forEach((px, i) => {
      const r = px / task.pickSigmaPx
      const { value, slope } = huber(r)
      residuals.push(value)
      for (const slot of task.unknowns) rows.push((slope * measured.rows[i][slot]) / task.pickSigmaPx)
    })
  }
  for (const prior of task.priors.list) {
    const { residual, row } = prior.evaluate(state)
    residuals.push(residual)
    for (const slot of task.unknowns) rows.push(row[slot])
  }
  return { residuals: Float64Array.from(residuals), jacobian: rows.length === residuals.length * n ? Float64Array.from(rows) : new Float64Array(0) }
}

/** Huber's loss as a residual: value^2 / 2 is the loss, slope its derivative by r. */
function huber(r: number): { value: number; slope: number } {
  const size = Math.abs(r)
  if (size <= huberBend) return { value: r, slope: 1 }
  const value = Math.sqrt(huberBend * (2 * size - huberBend))
  return { value: Math.sign(r) * value, slope: huberBend / value }
}

/** A cost that far-off picks cannot dominate: only for choosing among starts. */
function softCost(task: FitTask, state: FitState, signs: readonly [1 | -1, 1 | -1]): number | null {
  let sum = 0
  const unit = state.camera.width / 100
  for (const observation of task.observations) {
    const measured = measure(state, observation, signs)
    if (!measured) return null
    const px = Math.hypot(...measured.residualsPx) / unit
    sum += Math.log1p(px * px) + (measured.facing ? 0 : 1)
  }
  return sum
}

/** An end counts only where what was picked faces the camera and the side picks lie along the journal. */
function plausible(task: FitTask, end: End, surface: Surface): boolean {
  if (end.state.camera.focalPx < end.state.camera.width / 20 || Math.abs(end.state.camera.k1) > 2) return false
  let away = 0
  const sides: number[] = []
  for (const observation of task.observations) {
    const measured = measure(end.state, observation, end.contourSigns)
    if (!measured) return false
    if (!measured.facing && observation.type === 'point') away++
    if (observation.type === 'contour') sides.push(measured.axial)
  }
  if (away > 0) return false
  const slideKnown = task.unknowns.includes(unknownIndex.slide)
  if (!slideKnown || sides.length === 0) return true
  const middle = sides.sort((a, b) => a - b)[sides.length >> 1]
  return middle > -0.15 * surface.width && middle < 1.15 * surface.width
}

/** J'J of the whitened rows (gross errors weighted down) with the priors. */
function informationOf(task: FitTask, state: FitState, measured: readonly Measured[]): Float64Array {
  const n = task.unknowns.length
  const information = new Float64Array(n * n)
  const addRow = (row: ArrayLike<number>, weight: number) => {
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) information[i * n + j] += weight * row[task.unknowns[i]] * row[task.unknowns[j]]
  }
  for (const m of measured) {
    m.rows.forEach((row, i) => {
      const r = m.residualsPx[i] / task.pickSigmaPx
      addRow(row, Math.min(1, huberBend / Math.abs(r || 1e-12)) / task.pickSigmaPx ** 2)
    })
  }
  for (const prior of task.priors.list) addRow(priorAt(prior, state).row, 1)
  return information
}

function priorAt(prior: Prior, state: FitState): { residual: number; row: Float64Array } {
  return prior.evaluate(state)
}

function residualsOf(task: FitTask, state: FitState, measured: readonly Measured[], covariance: Float64Array) {
  let chiSquare = 0
  let squares = 0
  let scalars = 0
  const residuals = measured.map((m, i): HandleResidual => {
    const observation = task.observations[i]
    let studentised = 0
    m.residualsPx.forEach((px, k) => {
      const r = px / task.pickSigmaPx
      chiSquare += r * r
      squares += px * px
      scalars++
      const row = Float64Array.from(task.unknowns, (slot) => m.rows[k][slot] / task.pickSigmaPx)
      const free = Math.max(0.02, 1 - quadraticForm(covariance, row))
      studentised = Math.max(studentised, Math.abs(r) / Math.sqrt(free))
    })
    const residualPx = Math.hypot(...m.residualsPx)
    const depth = Math.hypot(...state.camera.translation)
    return {
      handle: observation.handle,
      residualPx,
      studentised,
      pick: { u: observation.u, v: observation.v },
      nearest: m.nearest,
      residualMm: (residualPx * depth) / state.camera.focalPx,
    }
  })
  for (const prior of task.priors.list) chiSquare += priorAt(prior, state).residual ** 2
  const degreesOfFreedom = Math.max(0, scalars + task.priors.list.length - task.unknowns.length)
  return { residuals, chiSquare, degreesOfFreedom, rmsPx: Math.sqrt(squares / scalars) }
}

function scalarCount(observations: readonly Observation[]): number {
  return observations.reduce((n, o) => n + (o.type === 'point' ? 2 : 1), 0)
}

function countHandles(observations: readonly Observation[]): { sides: number; rings: number } {
  const sides = new Set(observations.flatMap((o) => (o.handle.kind === 'side' ? [o.handle.list] : []))).size
  const rings = new Set(observations.flatMap((o) => (o.handle.kind === 'ring' ? [o.handle.ring] : []))).size
  return { sides, rings }
}
