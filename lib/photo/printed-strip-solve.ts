/**
 * The photographs of a journal that show its printed strip, solved together: each one's camera (and how far its ink spread),
 * shared by all where the strip lies. Codes' corners, hand picks and priors in one robust least squares; the normal
 * equations are an arrow (one block for each photograph, coupled by the four of the placement), so that each step is solved
 * by the Schur complement (B. Triggs et al., "Bundle adjustment: a modern synthesis", 2000, section 6).
 */
import type { PhotoPoint } from './camera'
import { type FitBase, type FitState, stateAt, unknownCount } from './fit-state'
import { type ContourSigns, type FitTask, huber } from './fit-task'
import { measure } from './observation'
import { markerCorners } from './printed-strip-design'
import { inPicture, placementCount, seenPlace, type StripPlacement, type StripSeat, wrappedPoint } from './printed-strip-wrap'
import { inverseOfPositiveDefinite } from './symmetric-matrix'

/** A code seen: its place along the strip and its corners in the photograph. */
export type SeenMarker = { place: number; corners: readonly PhotoPoint[] }

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

/** Whitened priors on the placement: value and standard deviation; a huge deviation where nothing is known. */
export type PlacementPriors = { value: StripPlacement; sigma: StripPlacement }

export type StripSolution = {
  placement: StripPlacement
  photos: { state: FitState; growth: number; covariance: Float64Array }[]
  /** 4 x 4, row-major, in the order of the placement. */
  placementCovariance: Float64Array
  cost: number
}

/** Noise of a found corner by itself: of the picture, px, and of the paper, mm. */
const cornerNoise = { px: 0.15, mm: 0.003 } as const
/** Of a whole code's place: along the strip the printer rounds it to its dots (25.4 / 600 mm, even within one), across it all alike. */
const placeNoise = { alongMm: 25.4 / 600 / Math.sqrt(12), acrossMm: 0.004 } as const
const growthSigmaMm = 0.05

/** Null where it cannot be evaluated or something is tied to nothing. `iterations` bounds the steps. */
export function solveStrip(
  seat: StripSeat,
  photos: readonly StripPhoto[],
  start: StripPlacement,
  priors: PlacementPriors,
  iterations = 30,
): StripSolution | null {
  let current: Linear[] | null = null
  let at: Trial = { placement: start, photos: photos.map(({ base, growth }) => ({ base, growth })) }
  let damping = 1e-4
  current = lineariseAll(seat, photos, at, priors)
  if (!current) return null
  for (let i = 0; i < iterations; i++) {
    const step: Step | null = dampedStep(current, damping)
    const next: Trial | null = step && moved(photos, at, step)
    const linear: Linear[] | null = next && lineariseAll(seat, photos, next, priors)
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
  return solutionOf(photos, at, current)
}

type Trial = { placement: StripPlacement; photos: { base: FitBase; growth: number }[] }
/** Normal equations of one photograph: own block, coupling to the placement, and what it says of the placement; the last: the placement's priors. */
type Linear = {
  n: number
  own: Float64Array
  coupling: Float64Array
  ownPull: Float64Array
  shared: Float64Array
  sharedPull: Float64Array
  cost: number
}
type Step = { photos: Float64Array[]; placement: Float64Array }

function lineariseAll(seat: StripSeat, photos: readonly StripPhoto[], trial: Trial, priors: PlacementPriors): Linear[] | null {
  const all: Linear[] = []
  for (const [i, photo] of photos.entries()) {
    const linear = linearisePhoto(seat, photo, trial.photos[i], trial.placement)
    if (!linear) return null
    all.push(linear)
  }
  all.push(priorsOf(trial.placement, priors))
  return all
}

function priorsOf(placement: StripPlacement, { value, sigma }: PlacementPriors): Linear {
  const linear = emptyLinear(0)
  const rows = [
    [placement.zeroAngle - value.zeroAngle, sigma.zeroAngle],
    [placement.frontEdge - value.frontEdge, sigma.frontEdge],
    [placement.skew - value.skew, sigma.skew],
    [placement.scale - value.scale, sigma.scale],
  ]
  rows.forEach(([off, deviation], k) => {
    linear.shared[k * placementCount + k] += 1 / deviation ** 2
    linear.sharedPull[k] -= off / deviation ** 2
    linear.cost += (off / deviation) ** 2 / 2
  })
  return linear
}

function emptyLinear(n: number): Linear {
  return {
    n,
    own: new Float64Array(n * n),
    coupling: new Float64Array(n * placementCount),
    ownPull: new Float64Array(n),
    shared: new Float64Array(placementCount * placementCount),
    sharedPull: new Float64Array(placementCount),
    cost: 0,
  }
}

function linearisePhoto(seat: StripSeat, photo: StripPhoto, trial: Trial['photos'][number], placement: StripPlacement): Linear | null {
  const state = stateAt(trial.base, new Float64Array(unknownCount))
  const slots = photo.task.unknowns
  const n = slots.length + 1
  const linear = emptyLinear(n)
  const row = new Float64Array(n)
  const shared = new Float64Array(placementCount)
  const addRow = (residual: number) => {
    linear.cost += (residual * residual) / 2
    for (let i = 0; i < n; i++) {
      if (row[i] === 0) continue
      linear.ownPull[i] -= row[i] * residual
      for (let j = 0; j < n; j++) linear.own[i * n + j] += row[i] * row[j]
      for (let j = 0; j < placementCount; j++) linear.coupling[i * placementCount + j] += row[i] * shared[j]
    }
    for (let i = 0; i < placementCount; i++) {
      linear.sharedPull[i] -= shared[i] * residual
      for (let j = 0; j < placementCount; j++) linear.shared[i * placementCount + j] += shared[i] * shared[j]
    }
  }
  for (const marker of markerResiduals(seat, photo, state, trial.growth, placement)) {
    if (!marker) return null
    for (const { residual, full, byPlacement, byGrowth } of marker) {
      const { value, slope } = huber(residual)
      slots.forEach((slot, k) => {
        row[k] = slope * full[slot]
      })
      row[n - 1] = slope * byGrowth
      for (let k = 0; k < placementCount; k++) shared[k] = slope * byPlacement[k]
      addRow(value)
    }
  }
  shared.fill(0)
  row[n - 1] = 0
  for (const observation of photo.task.observations) {
    const measured = measure(state, observation, photo.contourSigns)
    if (!measured) return null
    measured.residualsPx.forEach((px, i) => {
      const { value, slope } = huber(px / photo.task.pickSigmaPx)
      slots.forEach((slot, k) => {
        row[k] = (slope * measured.rows[i][slot]) / photo.task.pickSigmaPx
      })
      addRow(value)
    })
  }
  for (const prior of photo.task.priors.list) {
    const { residual, row: full } = prior.evaluate(state)
    slots.forEach((slot, k) => {
      row[k] = full[slot]
    })
    addRow(residual)
  }
  row.fill(0)
  row[n - 1] = 1 / growthSigmaMm
  addRow(trial.growth / growthSigmaMm)
  return linear
}

/** Whitened residuals of one code's corners, with their derivatives. */
export type MarkerResidual = { residual: number; full: Float64Array; byPlacement: Float64Array; byGrowth: number }[]

/** One list a code: eight residuals that are independent and of unit deviation; null where a corner lies behind the camera. */
export function markerResiduals(
  seat: StripSeat,
  photo: Pick<StripPhoto, 'markers' | 'noise'>,
  state: FitState,
  growth: number,
  placement: StripPlacement,
): (MarkerResidual | null)[] {
  return photo.markers.map((marker) => markerResidual(seat, marker, photo.noise, state, growth, placement))
}

function markerResidual(
  seat: StripSeat,
  { place, corners }: SeenMarker,
  noise: number,
  state: FitState,
  growth: number,
  placement: StripPlacement,
): MarkerResidual | null {
  const rows: MarkerResidual = []
  const moves: [[number, number], [number, number]][] = []
  for (const [i, flat] of markerCorners(seat.design, place, growth).entries()) {
    const wrapped = wrappedPoint(seat, placement, flat)
    const seen = seenPlace(state, wrapped.point)
    if (!seen) return null
    const byX = inPicture(seen, wrapped.byX)
    const byY = inPicture(seen, wrapped.byY)
    const placing = wrapped.byPlacement.map((d) => inPicture(seen, d))
    const outX = i === 0 || i === 3 ? -1 : 1
    const outY = i < 2 ? 1 : -1
    for (const axis of [0, 1] as const) {
      rows.push({
        residual: axis === 0 ? corners[i].u - seen.u : corners[i].v - seen.v,
        full: (axis === 0 ? seen.uBy : seen.vBy).map((value) => -value),
        byPlacement: Float64Array.from(placing, (one) => -one[axis]),
        byGrowth: -(outX * byX[axis] + outY * byY[axis]),
      })
    }
    moves.push([byX, byY])
  }
  whiten(rows, moves, noise)
  return rows
}

/**
 * Divides by the lower Cholesky factor of the corners' covariance: each its own noise in the picture and on the paper, all
 * four together the printer's rounding of the code's place.
 */
function whiten(rows: MarkerResidual, moves: readonly [[number, number], [number, number]][], noise: number): void {
  const n = rows.length
  const own = (cornerNoise.px * noise) ** 2
  const paper = (cornerNoise.mm * noise) ** 2
  const l = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const [xi, yi] = [moves[i >> 1][0][i & 1], moves[i >> 1][1][i & 1]]
    for (let j = 0; j <= i; j++) {
      const [xj, yj] = [moves[j >> 1][0][j & 1], moves[j >> 1][1][j & 1]]
      let sum = placeNoise.alongMm ** 2 * xi * xj + placeNoise.acrossMm ** 2 * yi * yj
      if (i >> 1 === j >> 1) sum += paper * (xi * xj + yi * yj)
      if (i === j) sum += own
      for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k]
      l[i * n + j] = i === j ? Math.sqrt(sum) : sum / l[j * n + j]
    }
  }
  for (let i = 0; i < n; i++) {
    const row = rows[i]
    for (let k = 0; k < i; k++) {
      const factor = l[i * n + k]
      const before = rows[k]
      row.residual -= factor * before.residual
      row.byGrowth -= factor * before.byGrowth
      for (let j = 0; j < row.full.length; j++) row.full[j] -= factor * before.full[j]
      for (let j = 0; j < placementCount; j++) row.byPlacement[j] -= factor * before.byPlacement[j]
    }
    const scale = 1 / l[i * n + i]
    row.residual *= scale
    row.byGrowth *= scale
    for (let j = 0; j < row.full.length; j++) row.full[j] *= scale
    for (let j = 0; j < placementCount; j++) row.byPlacement[j] *= scale
  }
}

function dampedStep(all: readonly Linear[], damping: number): Step | null {
  const reduced = new Float64Array(placementCount * placementCount)
  const pull = new Float64Array(placementCount)
  const inverses: Float64Array[] = []
  for (const { n, own, coupling, ownPull, shared, sharedPull } of all) {
    for (let i = 0; i < placementCount; i++) {
      pull[i] += sharedPull[i]
      for (let j = 0; j < placementCount; j++) reduced[i * placementCount + j] += shared[i * placementCount + j]
      reduced[i * placementCount + i] += damping * shared[i * placementCount + i]
    }
    const damped = own.map((value, k) => (k % (n + 1) === 0 ? value * (1 + damping) : value))
    const inverse = n > 0 ? inverseOfPositiveDefinite(damped, n) : damped
    if (!inverse) return null
    inverses.push(inverse)
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        const w = inverse[i * n + j]
        for (let a = 0; a < placementCount; a++) {
          const left = coupling[i * placementCount + a] * w
          pull[a] -= left * ownPull[j]
          for (let b = 0; b < placementCount; b++) reduced[a * placementCount + b] -= left * coupling[j * placementCount + b]
        }
      }
    }
  }
  const inverse = inverseOfPositiveDefinite(reduced, placementCount)
  if (!inverse) return null
  const placement = times(inverse, pull, placementCount)
  const photos = all.map(({ n, coupling, ownPull }, p) => {
    const rest = Float64Array.from(ownPull, (value, i) => {
      let sum = value
      for (let a = 0; a < placementCount; a++) sum -= coupling[i * placementCount + a] * placement[a]
      return sum
    })
    return times(inverses[p], rest, n)
  })
  return { photos, placement }
}

function times(matrix: Float64Array, vector: Float64Array, n: number): Float64Array {
  return Float64Array.from({ length: n }, (_, i) => {
    let sum = 0
    for (let j = 0; j < n; j++) sum += matrix[i * n + j] * vector[j]
    return sum
  })
}

function moved(photos: readonly StripPhoto[], at: Trial, step: Step): Trial | null {
  const [zero, front, skew, scale] = step.placement
  const { placement } = at
  const next = photos.map((photo, i) => {
    const own = step.photos[i]
    const full = new Float64Array(unknownCount)
    photo.task.unknowns.forEach((slot, k) => {
      full[slot] = own[k]
    })
    const base = rebased(at.photos[i].base, full)
    return base && { base, growth: at.photos[i].growth + own[own.length - 1] }
  })
  if (next.some((one) => one === null)) return null
  return {
    placement: {
      zeroAngle: placement.zeroAngle + zero,
      frontEdge: placement.frontEdge + front,
      skew: placement.skew + skew,
      scale: placement.scale + scale,
    },
    photos: next as Trial['photos'],
  }
}

/** The base that a full step leads to; null where the step is no number or leads out of all bounds. */
function rebased(base: FitBase, full: Float64Array): FitBase | null {
  if (!full.every(Number.isFinite) || Math.hypot(full[0], full[1], full[4]) > 2 || Math.abs(full[6]) > 2) return null
  const { camera, surface, centre } = stateAt(base, full)
  if (Math.abs(camera.k1) > 2) return null
  const r = camera.rotation
  const toMiddle = [r[2] * centre[2], r[5] * centre[2], r[8] * centre[2]]
  return {
    width: base.width,
    height: base.height,
    rotation: r,
    translation: [camera.translation[0] + toMiddle[0], camera.translation[1] + toMiddle[1], camera.translation[2] + toMiddle[2]],
    focalPx: camera.focalPx,
    k1: camera.k1,
    surface,
  }
}

function costOf(all: readonly Linear[]): number {
  return all.reduce((sum, { cost }) => sum + cost, 0)
}

function solutionOf(photos: readonly StripPhoto[], at: Trial, all: readonly Linear[]): StripSolution | null {
  const reduced = new Float64Array(placementCount * placementCount)
  const ways: { inverse: Float64Array; toShared: Float64Array; n: number }[] = []
  for (const { n, own, coupling, shared } of all) {
    for (let i = 0; i < reduced.length; i++) reduced[i] += shared[i]
    if (n === 0) continue
    const inverse = inverseOfPositiveDefinite(own, n)
    if (!inverse) return null
    // inverse times coupling, n x 4
    const toShared = new Float64Array(n * placementCount)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        for (let a = 0; a < placementCount; a++) toShared[i * placementCount + a] += inverse[i * n + j] * coupling[j * placementCount + a]
    for (let a = 0; a < placementCount; a++)
      for (let b = 0; b < placementCount; b++)
        for (let i = 0; i < n; i++) reduced[a * placementCount + b] -= coupling[i * placementCount + a] * toShared[i * placementCount + b]
    ways.push({ inverse, toShared, n })
  }
  const placementCovariance = inverseOfPositiveDefinite(reduced, placementCount)
  if (!placementCovariance) return null
  return {
    placement: at.placement,
    placementCovariance,
    cost: costOf(all),
    photos: photos.map((_, p) => ({
      state: stateAt(at.photos[p].base, new Float64Array(unknownCount)),
      growth: at.photos[p].growth,
      covariance: ownCovariance(ways[p], placementCovariance),
    })),
  }
}

/** Of the photograph's unknowns alone (the ink's spread left out), what the placement leaves open counted in. */
function ownCovariance(
  { inverse, toShared, n }: { inverse: Float64Array; toShared: Float64Array; n: number },
  placementCovariance: Float64Array,
): Float64Array {
  const k = n - 1
  const covariance = new Float64Array(k * k)
  for (let i = 0; i < k; i++) {
    for (let j = 0; j < k; j++) {
      let sum = inverse[i * n + j]
      for (let a = 0; a < placementCount; a++)
        for (let b = 0; b < placementCount; b++)
          sum += toShared[i * placementCount + a] * placementCovariance[a * placementCount + b] * toShared[j * placementCount + b]
      covariance[i * k + j] = sum
    }
  }
  return covariance
}
