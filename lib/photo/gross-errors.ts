/**
 * Picks that are far off: found, left out and named, so that they do not bend what the others say. Huber's loss bounds
 * the pull of a gross error but does not end it. Here what lies too far is trimmed and what does not is taken back, from
 * several trial omissions, until nothing changes. It counts only where no more is left out than one pick in six, or one
 * whole handle of at least five, and the rest agrees; otherwise nothing is left out and the contradiction stands.
 * Studentised residuals after W. Baarda, "A testing procedure for use in geodetic networks" (1968).
 */
import type { End } from './fit-search'
import { type FitTask, informationOf, leftOutWeight, type WhitenedScalar, whitenedScalars } from './fit-task'
import { pickWeight, studentisedSize } from './fit-residuals'
import { outlierSigmas } from './fit-warnings'
import { handleKey } from './handle-name'
import type { RingPlace } from '../model/photo'
import type { HandleRef, Observation } from './observation'
import { emptyReading, readObservation } from './reading'
import { chiSquare99, chiSquare999 } from './quantiles'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

export type Sifted = {
  task: FitTask
  end: End
  /** For each left-out pick the one that would explain the contradiction as well, if there is one. */
  orElse: Map<HandleRef, HandleRef>
  rings: RingOff[]
}

/** A ring whose picks are nearly all left out, and the place whose ring they do lie on. */
export type RingOff = { handle: HandleRef & { kind: 'ring' }; lieOn: RingPlace | null }

/** Goes on from an end with other picks left out; `afresh` from starts of its own. */
export type Refit = (task: FitTask, from: End, afresh: boolean) => End | null

/** The task without its gross errors and its end; both as they were where there are none, or too many to tell which. */
export function withoutGrossErrors(task: FitTask, end: End, refit: Refit, thorough: boolean): Sifted {
  const asTheyWere: Sifted = { task, end, orElse: new Map(), rings: [] }
  const whole = standingOf(task, end)
  // gross errors that hide each other bend everything: a misfit with no pick off that is this small is the noise's own
  if (!whole || (whole.worst <= outlierSigmas && whole.chiSquare <= hiddenFactor * chiSquare99(whole.degreesOfFreedom))) return asTheyWere
  let best = trimmed(
    task,
    end,
    task.observations.map(() => false),
    refit,
    false,
  )
  if (!best && thorough) {
    for (const omitted of [...wholeHandles(task.observations), ...scattered(task.observations)]) {
      const other = trimmed(task, end, omitted, refit, true)
      if (other && (!best || other.truncated < best.truncated)) best = other
    }
  }
  if (!best) return asTheyWere
  return { task: best.task, end: best.end, orElse: alternatives(best.task, best.standing), rings: ringsOff(best) }
}

const hiddenFactor = 3
const mostRounds = 16

type Trimmed = { task: FitTask; end: End; standing: Standing; truncated: number }

function trimmed(task: FitTask, from: End, omitted: boolean[], refit: Refit, afresh: boolean): Trimmed | null {
  const most = Math.floor(task.observations.length / 6)
  let leftOut = omitted
  let end: End | null = from
  const timesDropped = new Uint8Array(task.observations.length)
  for (let round = 0; round < mostRounds; round++) {
    const current: FitTask = { ...task, leftOut }
    if (leftOut.some(Boolean)) end = refit(current, end, afresh && round === 0)
    const standing = end && standingOf(current, end)
    if (!end || !standing) return null
    const next = nextOmission(leftOut, standing, timesDropped)
    if (next) {
      leftOut = next
      continue
    }
    const count = leftOut.filter(Boolean).length
    const allowed = count > 0 && (count <= most || isOneHandle(task.observations, leftOut))
    if (!allowed || !standing.agrees) return null
    return { task: current, end, standing, truncated: standing.chiSquare + outlierSigmas ** 2 * count }
  }
  return null
}

/**
 * Drops the worst, one at a time, because two that hide each other both look off; with nothing to drop takes back what lies near, but never
 * what has been dropped twice; null where nothing changes.
 */
function nextOmission(leftOut: readonly boolean[], { studentised, worst }: Standing, timesDropped: Uint8Array): boolean[] | null {
  if (worst > outlierSigmas) {
    const drop = studentised.findIndex((size, i) => !leftOut[i] && size === worst)
    timesDropped[drop]++
    return leftOut.map((out, i) => out || i === drop)
  }
  const next = leftOut.map((out, i) => out && (studentised[i] > outlierSigmas || timesDropped[i] > 1))
  return next.some((out, i) => out !== leftOut[i]) ? next : null
}

type Standing = {
  /** Of each pick, the larger of its residuals in units of its own deviation; of one left out, of the prediction's. */
  studentised: Float64Array
  scalars: WhitenedScalar[]
  covariance: Float64Array
  /** Of what is not left out. */
  chiSquare: number
  degreesOfFreedom: number
  worst: number
  /** Within its 99.9 % range: what is left after trimming is not to fail for its own noise. */
  agrees: boolean
}

function standingOf(task: FitTask, { state, contourSigns }: End): Standing | null {
  const scalars = whitenedScalars(task, state, contourSigns)
  const n = task.unknowns.length
  const covariance = scalars && inverseOfPositiveDefinite(informationOf(task, state, scalars), n)
  if (!scalars || !covariance) return null
  const studentised = new Float64Array(task.observations.length)
  let worst = 0
  let chiSquare = 0
  let rows = 0
  for (const [pick, own] of byPick(scalars, task.observations.length).entries()) {
    const out = task.leftOut?.[pick] ?? false
    studentised[pick] = studentisedSize(own, covariance, pickWeight(own, out))
    if (out) continue
    worst = Math.max(worst, studentised[pick])
    for (const { residual } of own) chiSquare += residual * residual
    rows += own.length
  }
  for (const prior of task.priors.list) chiSquare += prior.evaluate(state).residual ** 2
  const degreesOfFreedom = rows + task.priors.list.length - n
  const agrees = degreesOfFreedom > 0 && chiSquare <= chiSquare999(degreesOfFreedom)
  return { studentised, scalars, covariance, chiSquare, degreesOfFreedom, worst, agrees }
}

function byPick(scalars: readonly WhitenedScalar[], count: number): WhitenedScalar[][] {
  const picks: WhitenedScalar[][] = Array.from({ length: count }, () => [])
  for (const scalar of scalars) picks[scalar.pick].push(scalar)
  return picks
}

/**
 * Which other pick, left out in the place of one that is, would leave the rest in agreement too: worked out linearly by taking the one
 * back (Sherman and Morrison 1950) and dropping the other, which takes its studentised residual's square off the chi-square.
 */
function alternatives(task: FitTask, { scalars, covariance, chiSquare, degreesOfFreedom }: Standing): Sifted['orElse'] {
  const orElse: Sifted['orElse'] = new Map()
  const limit = chiSquare999(degreesOfFreedom)
  const picks = byPick(scalars, task.observations.length)
  for (const [i, own] of picks.entries()) {
    if (!task.leftOut?.[i]) continue
    const back = takenBack(covariance, own)
    const added = studentisedSize(own, covariance, leftOutWeight ** 2) ** 2
    let least = limit
    for (const [j, other] of picks.entries()) {
      if (task.leftOut?.[j]) continue
      const moved = other.map(({ residual, row }) => ({ residual: residual + dot(row, back.shift), row }))
      const after = chiSquare + added - studentisedSize(moved, back.covariance, 1) ** 2
      if (after > least) continue
      least = after
      orElse.set(task.observations[i].handle, task.observations[j].handle)
    }
  }
  return orElse
}

/** The covariance and the shift of the unknowns when some scalars count too. */
function takenBack(covariance: Float64Array, scalars: readonly WhitenedScalar[]): { covariance: Float64Array; shift: Float64Array } {
  const n = scalars[0].row.length
  let now = covariance
  const shift = new Float64Array(n)
  for (const { residual, row } of scalars) {
    const gain = Float64Array.from(row, (_, i) => dot(row, now.subarray(i * n, (i + 1) * n)))
    const spread = 1 + dot(row, gain)
    const off = residual + dot(row, shift)
    for (let i = 0; i < n; i++) shift[i] -= (gain[i] * off) / spread
    now = now.map((value, k) => value - (gain[Math.floor(k / n)] * gain[k % n]) / spread)
  }
  return { covariance: now, shift }
}

const ringPlaces = ['front-cheek', 'front-fillet', 'rear-fillet', 'rear-cheek'] as const

function ringsOff({ task, end }: Trimmed): RingOff[] {
  const rings = new Map<number, { handle: HandleRef & { kind: 'ring' }; picks: Observation[]; out: number }>()
  task.observations.forEach((pick, i) => {
    if (pick.handle.kind !== 'ring') return
    const ring = rings.get(pick.handle.ring) ?? { handle: pick.handle, picks: [], out: 0 }
    ring.picks.push(pick)
    if (task.leftOut?.[i]) ring.out++
    rings.set(pick.handle.ring, ring)
  })
  const reading = emptyReading()
  const liesOn = (pick: Observation, at: RingPlace) =>
    readObservation(end.state, { ...pick, type: 'circle', at }, end.contourSigns, reading) &&
    Math.abs(reading.residualsPx[0]) <= outlierSigmas * task.pickSigmaPx
  return [...rings.values()]
    .filter(({ picks, out }) => picks.length > 1 && out >= nearlyAll * picks.length)
    .map(({ handle, picks }) => ({
      handle,
      lieOn: ringPlaces.find((at) => picks.filter((pick) => liesOn(pick, at)).length >= nearlyAll * picks.length) ?? null,
    }))
}

const nearlyAll = 0.7

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i]
  return sum
}

/** Each whole handle once: a side, a ring, a hole, a witness mark. */
function wholeHandles(observations: readonly Observation[]): boolean[][] {
  const keys = observations.map(({ handle }) => handleKey(handle))
  return [...new Set(keys)].map((key) => keys.map((own) => own === key))
}

const fewestHandles = 5

function isOneHandle(observations: readonly Observation[], leftOut: readonly boolean[]): boolean {
  const handles = new Set(observations.map(({ handle }) => handleKey(handle)))
  const touched = new Set(observations.filter((_, i) => leftOut[i]).map(({ handle }) => handleKey(handle)))
  return touched.size === 1 && handles.size >= fewestHandles
}

/** Every third pick, and every fourth, from each place: where several gross errors hide each other. */
function scattered(observations: readonly Observation[]): boolean[][] {
  return [3, 4].flatMap((stride) => Array.from({ length: stride }, (_, from) => observations.map((_, i) => i % stride === from)))
}
