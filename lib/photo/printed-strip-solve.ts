/**
 * The photographs of a journal that show its printed strip, solved together: each one's camera (and how far its ink spread),
 * shared by all where the strip lies and how its codes were rounded by the printer. Codes' corners, hand picks and priors in one
 * robust least squares, damped (Levenberg-Marquardt).
 */
import type { PhotoPoint } from './camera'
import { baseOf, type FitBase, type FitState, stateAt, unknownCount, unknownIndex } from './fit-state'
import { type ContourSigns, type FitTask, huber } from './fit-task'
import { measure, type Observation } from './observation'
import { costOf, dampedStep, emptyLinear, foldedIn, type Linear, ownCovariance, type Step } from './printed-strip-arrow'
import { markerResiduals, type SeenMarker, shiftSigmaMm, type StripLie } from './printed-strip-corners'
import { placementCount, placementNames, type StripPlacement, type StripSeat } from './printed-strip-wrap'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

export type StripPhoto = {
  task: FitTask
  base: FitBase
  contourSigns: ContourSigns
  markers: readonly SeenMarker[]
  /** How far the black has spread beyond its wanted edges in this photograph, mm. */
  growth: number
  /** What the corners' noise is multiplied with: 1 where they are as good as usual. */
  noise: number
  /** Middles of oil holes as their rims in the picture have them. */
  rims: readonly PhotoRim[]
}

/** The typed place of a hole, and where its middle is seen. */
export type PhotoRim = { holeId: string; theta: number; axial: number; seen: PhotoPoint; sigmaPx: number }

/** Priors on the placement: value and standard deviation; a huge deviation where nothing is known. */
export type PlacementPriors = { value: StripPlacement; sigma: StripPlacement }

export type StripSolution = StripLie & {
  photos: { state: FitState; growth: number; covariance: Float64Array }[]
  /** How far holes lie behind their typed places along the axis, mm, by their names: of those with rims. */
  holeShifts: ReadonlyMap<string, number>
  /** Standard deviation of the scale. */
  scaleSigma: number
  cost: number
}

const growthSigmaMm = 0.05
/**
 * Of a hole's place along the axis, measured and typed, mm (common practice, no source). Where the rings tell of another place the
 * pull of this is bounded by Huber's loss: a hole typed wrongly hardly moves the strip.
 */
const typedHoleSigmaMm = 0.02
/** Of the middle of its rim around the shaft, against the place that the typed angle means: how true the edge of the metal is, mm. */
const rimSigmaMm = 0.01

/** Null where it cannot be evaluated or something is tied to nothing. `iterations` bounds the steps. */
export function solveStrip(
  seat: StripSeat,
  photos: readonly StripPhoto[],
  start: StripLie,
  priors: PlacementPriors,
  iterations = 30,
): StripSolution | null {
  const places = [...new Set(photos.flatMap(({ markers }) => markers.map(({ place }) => place)))].sort((a, b) => a - b)
  const holes = [...new Set(photos.flatMap(({ rims }) => rims.map(({ holeId }) => holeId)))]
  const slotOf = new Map<number | string, number>(places.map((place, i) => [place, placementCount + i]))
  for (const [i, id] of holes.entries()) slotOf.set(id, placementCount + places.length + 2 * i)
  const problem: Problem = { seat, photos, priors, places, holes, slotOf }
  const shared = Float64Array.from([
    ...placementNames.map((name) => start.placement[name]),
    ...places.map((place) => start.shifts.get(place) ?? 0),
    ...holes.flatMap(() => [0, 0]),
  ])
  let at: Trial = { shared, photos: photos.map(({ base, growth }) => ({ base, growth })) }
  let damping = 1e-4
  let current = lineariseAll(problem, at)
  if (!current) return null
  for (let i = 0; i < iterations; i++) {
    const step: Step | null = dampedStep(current, damping)
    const next: Trial | null = step && moved(problem, at, step)
    const linear: Linear[] | null = next && lineariseAll(problem, next)
    const before = costOf(current)
    const after = linear ? costOf(linear) : Number.POSITIVE_INFINITY
    if (next && linear && after <= before) {
      const settled = before - after <= 1e-9 * before + 1e-12
      at = next
      current = linear
      damping = Math.max(1e-9, damping / 5)
      if (settled) break
    } else {
      damping *= 8
      if (damping > 1e8) break
    }
  }
  return solutionOf(problem, at, current)
}

type Problem = {
  seat: StripSeat
  photos: readonly StripPhoto[]
  priors: PlacementPriors
  /**
   * Places of all codes seen, holes of all rims, and where the shift of each stands among what is shared: of a code along the strip; of a
   * hole around the shaft, radians, and after it along the axis.
   */
  places: readonly number[]
  holes: readonly string[]
  slotOf: ReadonlyMap<number | string, number>
}
/** `shared`: the four of the placement, then the shifts of codes and holes. */
type Trial = { shared: Float64Array; photos: { base: FitBase; growth: number }[] }
function lieOf({ places }: Problem, shared: Float64Array): StripLie {
  const [zeroAngle, frontEdge, skew, scale] = shared
  return {
    placement: { zeroAngle, frontEdge, skew, scale },
    shifts: new Map(places.map((place, i) => [place, shared[placementCount + i]])),
  }
}

function lineariseAll(problem: Problem, trial: Trial): Linear[] | null {
  const lie = lieOf(problem, trial.shared)
  const all: Linear[] = []
  for (let i = 0; i < problem.photos.length; i++) {
    const linear = linearisePhoto(problem, i, trial.photos[i], trial.shared, lie)
    if (!linear) return null
    all.push(linear)
  }
  all.push(priorsOf(problem, trial.shared))
  return all
}

function priorsOf({ seat, places, priors: { value, sigma } }: Problem, shared: Float64Array): Linear {
  const linear = emptyLinear(0, shared.length)
  shared.forEach((now, k) => {
    const name = placementNames[k]
    const off = name ? now - value[name] : now
    const ofHole = k - placementCount - places.length
    const along = ofHole >= 0 && ofHole % 2 === 1
    const deviation = name ? sigma[name] : ofHole < 0 ? shiftSigmaMm : along ? typedHoleSigmaMm : rimSigmaMm / seat.journalRadius
    const { value: residual, slope } = along ? huber(off / deviation) : { value: off / deviation, slope: 1 }
    linear.shared[k * shared.length + k] = (slope / deviation) ** 2
    linear.sharedPull[k] = (-residual * slope) / deviation
    linear.cost += residual ** 2 / 2
  })
  return linear
}

function linearisePhoto(
  { seat, photos, slotOf }: Problem,
  index: number,
  trial: Trial['photos'][number],
  shared: Float64Array,
  lie: StripLie,
): Linear | null {
  const photo = photos[index]
  const state = stateAt(trial.base, new Float64Array(unknownCount))
  const slots = photo.task.unknowns
  const n = slots.length + 1
  const size = shared.length
  const linear = emptyLinear(n, size)
  const row = new Float64Array(n)
  /** `at`: which of the shared the row depends on, by `by`. */
  const addRow = (residual: number, at: readonly number[], by: ArrayLike<number>, slope: number) => {
    linear.cost += (residual * residual) / 2
    for (let i = 0; i < n; i++) {
      const value = row[i]
      if (value === 0) continue
      linear.ownPull[i] -= value * residual
      for (let j = 0; j < n; j++) linear.own[i * n + j] += value * row[j]
      for (let j = 0; j < at.length; j++) linear.coupling[i * size + at[j]] += value * slope * by[j]
    }
    for (let i = 0; i < at.length; i++) {
      linear.sharedPull[at[i]] -= slope * by[i] * residual
      for (let j = 0; j < at.length; j++) linear.shared[at[i] * size + at[j]] += slope * slope * by[i] * by[j]
    }
  }
  for (const [m, marker] of markerResiduals(seat, photo, state, trial.growth, lie).entries()) {
    if (!marker) return null
    const at = [0, 1, 2, 3, slotOf.get(photo.markers[m].place) as number]
    for (const { residual, full, byShared, byGrowth } of marker) {
      const { value, slope } = huber(residual)
      for (let k = 0; k < slots.length; k++) row[k] = slope * full[slots[k]]
      row[n - 1] = slope * byGrowth
      addRow(value, at, byShared, slope)
    }
  }
  row[n - 1] = 0
  const addPlace = (observation: Observation, sigmaPx: number, shiftedBy: readonly number[]): boolean => {
    const measured = measure(state, observation, photo.contourSigns)
    measured?.residualsPx.forEach((px, i) => {
      const { value, slope } = huber(px / sigmaPx)
      for (let k = 0; k < slots.length; k++) row[k] = (slope * measured.rows[i][slots[k]]) / sigmaPx
      // a place of the journal that moves is seen to move as with all the journal
      addRow(value, shiftedBy, [measured.rows[i][unknownIndex.roll] / sigmaPx, measured.rows[i][unknownIndex.slide] / sigmaPx], slope)
    })
    return measured !== null
  }
  for (const observation of photo.task.observations) if (!addPlace(observation, photo.task.pickSigmaPx, [])) return null
  for (const { holeId, theta, axial, seen, sigmaPx } of photo.rims) {
    const slot = slotOf.get(holeId) as number
    const handle = { kind: 'oilHole', index: 0, id: holeId } as const
    const place = { theta: theta + shared[slot], axial: axial + shared[slot + 1] }
    if (!addPlace({ type: 'point', handle, ...place, ...seen }, sigmaPx, [slot, slot + 1])) return null
  }
  for (const prior of photo.task.priors.list) {
    const { residual, row: full } = prior.evaluate(state)
    // a close-up is often taken through a far longer lens than a phone's main one: the prior may not overrule the codes
    const { value, slope } = huber(residual)
    for (let k = 0; k < slots.length; k++) row[k] = slope * full[slots[k]]
    addRow(value, [], [], 1)
  }
  row.fill(0)
  row[n - 1] = 1 / growthSigmaMm
  addRow(trial.growth / growthSigmaMm, [], [], 1)
  return linear
}

function moved({ photos }: Problem, at: Trial, step: Step): Trial | null {
  const next: Trial['photos'] = []
  for (const [i, photo] of photos.entries()) {
    const own = step.photos[i]
    const full = new Float64Array(unknownCount)
    photo.task.unknowns.forEach((slot, k) => {
      full[slot] = own[k]
    })
    const base = rebased(at.photos[i].base, full)
    if (!base) return null
    next.push({ base, growth: at.photos[i].growth + own[own.length - 1] })
  }
  return { shared: at.shared.map((value, k) => value + step.shared[k]), photos: next }
}

/** The base that a full step leads to; null where the step is no number or leads out of all bounds. */
function rebased(base: FitBase, full: Float64Array): FitBase | null {
  if (!full.every(Number.isFinite) || Math.hypot(full[0], full[1], full[4]) > 2 || Math.abs(full[6]) > 2) return null
  const { camera, surface } = stateAt(base, full)
  return Math.abs(camera.k1) > 2 ? null : baseOf(camera, surface)
}

function solutionOf(problem: Problem, at: Trial, all: readonly Linear[]): StripSolution | null {
  const folded = foldedIn(all, 0)
  const shared = folded && inverseOfPositiveDefinite(folded.reduced, folded.size)
  if (!folded || !shared) return null
  const scale = placementNames.indexOf('scale')
  return {
    ...lieOf(problem, at.shared),
    holeShifts: new Map(problem.holes.map((id) => [id, at.shared[(problem.slotOf.get(id) as number) + 1]])),
    scaleSigma: Math.sqrt(shared[scale * folded.size + scale]),
    cost: costOf(all),
    photos: at.photos.map(({ base, growth }, p) => ({
      state: stateAt(base, new Float64Array(unknownCount)),
      growth,
      covariance: ownCovariance(folded.ways[p], shared, folded.size),
    })),
  }
}
