/**
 * The photographs of a journal that show its printed strip, solved together: each one's camera (and how far its ink spread),
 * shared by all where the strip lies and how its codes were rounded by the printer. Codes' corners, hand picks and priors in one
 * robust least squares; the normal equations are an arrow (one block for each photograph, coupled by what is shared), so that each
 * step is solved by the Schur complement (B. Triggs et al., "Bundle adjustment: a modern synthesis", 2000, section 6).
 */
import { baseOf, type FitBase, type FitState, stateAt, unknownCount } from './fit-state'
import { type ContourSigns, type FitTask, huber } from './fit-task'
import { measure } from './observation'
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
}

/** Priors on the placement: value and standard deviation; a huge deviation where nothing is known. */
export type PlacementPriors = { value: StripPlacement; sigma: StripPlacement }

export type StripSolution = StripLie & {
  photos: { state: FitState; growth: number; covariance: Float64Array }[]
  /** Standard deviation of the scale. */
  scaleSigma: number
  cost: number
}

const growthSigmaMm = 0.05

/** Null where it cannot be evaluated or something is tied to nothing. `iterations` bounds the steps. */
export function solveStrip(
  seat: StripSeat,
  photos: readonly StripPhoto[],
  start: StripLie,
  priors: PlacementPriors,
  iterations = 30,
): StripSolution | null {
  const places = [...new Set(photos.flatMap(({ markers }) => markers.map(({ place }) => place)))].sort((a, b) => a - b)
  const problem: Problem = { seat, photos, priors, places, slotOf: new Map(places.map((place, i) => [place, placementCount + i])) }
  const shared = Float64Array.from([
    ...placementNames.map((name) => start.placement[name]),
    ...places.map((place) => start.shifts.get(place) ?? 0),
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
  /** Places of all codes seen, and where the shift of each stands among what is shared. */
  places: readonly number[]
  slotOf: ReadonlyMap<number, number>
}
/** `shared`: the four of the placement, then the shifts of the codes seen. */
type Trial = { shared: Float64Array; photos: { base: FitBase; growth: number }[] }
/** Normal equations of one photograph: own block, coupling to what is shared, and what it says of that; the last: the priors of that. */
type Linear = {
  n: number
  size: number
  own: Float64Array
  coupling: Float64Array
  ownPull: Float64Array
  shared: Float64Array
  sharedPull: Float64Array
  cost: number
}
type Step = { photos: Float64Array[]; shared: Float64Array }

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
    const linear = linearisePhoto(problem, i, trial.photos[i], lie)
    if (!linear) return null
    all.push(linear)
  }
  all.push(priorsOf(problem, trial.shared))
  return all
}

function priorsOf({ priors: { value, sigma } }: Problem, shared: Float64Array): Linear {
  const linear = emptyLinear(0, shared.length)
  shared.forEach((now, k) => {
    const name = placementNames[k]
    const off = name ? now - value[name] : now
    const deviation = name ? sigma[name] : shiftSigmaMm
    linear.shared[k * shared.length + k] = 1 / deviation ** 2
    linear.sharedPull[k] = -off / deviation ** 2
    linear.cost += (off / deviation) ** 2 / 2
  })
  return linear
}

function emptyLinear(n: number, size: number): Linear {
  return {
    n,
    size,
    own: new Float64Array(n * n),
    coupling: new Float64Array(n * size),
    ownPull: new Float64Array(n),
    shared: new Float64Array(size * size),
    sharedPull: new Float64Array(size),
    cost: 0,
  }
}

function linearisePhoto(
  { seat, photos, places, slotOf }: Problem,
  index: number,
  trial: Trial['photos'][number],
  lie: StripLie,
): Linear | null {
  const photo = photos[index]
  const state = stateAt(trial.base, new Float64Array(unknownCount))
  const slots = photo.task.unknowns
  const n = slots.length + 1
  const size = placementCount + places.length
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
  for (const observation of photo.task.observations) {
    const measured = measure(state, observation, photo.contourSigns)
    if (!measured) return null
    measured.residualsPx.forEach((px, i) => {
      const { value, slope } = huber(px / photo.task.pickSigmaPx)
      for (let k = 0; k < slots.length; k++) row[k] = (slope * measured.rows[i][slots[k]]) / photo.task.pickSigmaPx
      addRow(value, [], [], 1)
    })
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

function dampedStep(all: readonly Linear[], damping: number): Step | null {
  const folded = foldedIn(all, damping)
  if (!folded) return null
  const { reduced, pull, ways, size } = folded
  const inverse = inverseOfPositiveDefinite(reduced, size)
  if (!inverse) return null
  const shared = times(inverse, pull, size)
  const photos = all.map(({ n, coupling, ownPull }, p) => {
    const rest = Float64Array.from(ownPull, (value, i) => {
      let sum = value
      for (let a = 0; a < size; a++) sum -= coupling[i * size + a] * shared[a]
      return sum
    })
    return times(ways[p].inverse, rest, n)
  })
  return { photos, shared }
}

type Way = { n: number; inverse: Float64Array; toShared: Float64Array }

/** Every photograph's own unknowns folded into the equations of what is shared; null where some are tied to nothing. */
function foldedIn(
  all: readonly Linear[],
  damping: number,
): { reduced: Float64Array; pull: Float64Array; ways: Way[]; size: number } | null {
  const size = all[0].size
  const reduced = new Float64Array(size * size)
  const pull = new Float64Array(size)
  const ways: Way[] = []
  for (const { n, own, coupling, ownPull, shared, sharedPull } of all) {
    for (let i = 0; i < reduced.length; i++) reduced[i] += shared[i] * (i % (size + 1) === 0 ? 1 + damping : 1)
    for (let i = 0; i < size; i++) pull[i] += sharedPull[i]
    const damped = own.map((value, k) => (k % (n + 1) === 0 ? value * (1 + damping) : value))
    const inverse = n > 0 ? inverseOfPositiveDefinite(damped, n) : damped
    if (!inverse) return null
    // inverse times coupling, n x size
    const toShared = new Float64Array(n * size)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++) {
        const w = inverse[i * n + j]
        for (let a = 0; a < size; a++) toShared[i * size + a] += w * coupling[j * size + a]
      }
    for (let i = 0; i < n; i++)
      for (let a = 0; a < size; a++) {
        const c = coupling[i * size + a]
        pull[a] -= toShared[i * size + a] * ownPull[i]
        if (c !== 0) for (let b = 0; b < size; b++) reduced[a * size + b] -= c * toShared[i * size + b]
      }
    ways.push({ n, inverse, toShared })
  }
  return { reduced, pull, ways, size }
}

function times(matrix: Float64Array, vector: Float64Array, n: number): Float64Array {
  return Float64Array.from({ length: n }, (_, i) => {
    let sum = 0
    for (let j = 0; j < n; j++) sum += matrix[i * n + j] * vector[j]
    return sum
  })
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

function costOf(all: readonly Linear[]): number {
  return all.reduce((sum, { cost }) => sum + cost, 0)
}

function solutionOf(problem: Problem, at: Trial, all: readonly Linear[]): StripSolution | null {
  const folded = foldedIn(all, 0)
  const shared = folded && inverseOfPositiveDefinite(folded.reduced, folded.size)
  if (!folded || !shared) return null
  const scale = placementNames.indexOf('scale')
  return {
    ...lieOf(problem, at.shared),
    scaleSigma: Math.sqrt(shared[scale * folded.size + scale]),
    cost: costOf(all),
    photos: at.photos.map(({ base, growth }, p) => ({
      state: stateAt(base, new Float64Array(unknownCount)),
      growth,
      covariance: ownCovariance(folded.ways[p], shared, folded.size),
    })),
  }
}

/** Of the photograph's unknowns alone (the ink's spread left out), what is left open of the shared ones counted in. */
function ownCovariance({ n, inverse, toShared }: Way, shared: Float64Array, size: number): Float64Array {
  const k = n - 1
  const half = new Float64Array(k * size)
  for (let i = 0; i < k; i++)
    for (let a = 0; a < size; a++) {
      const w = toShared[i * size + a]
      if (w !== 0) for (let b = 0; b < size; b++) half[i * size + b] += w * shared[a * size + b]
    }
  const covariance = new Float64Array(k * k)
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) {
      let sum = inverse[i * n + j]
      for (let b = 0; b < size; b++) sum += half[i * size + b] * toShared[j * size + b]
      covariance[i * k + j] = sum
    }
  return covariance
}
