/**
 * All photographs of a journal at once: each one's handles and priors, and the ties between pairs. A tie says that two
 * pixels show one place of the surface (or a pixel a known place of the map); its residual is the difference of the two map places, whitened by the tie's
 * information. One Levenberg-Marquardt solve over every photograph's unknowns, roll and slide included; the whole
 * covariance, so that what a neighbour lends in certainty is neither lost nor counted twice.
 */
import type { MapPoint, Surface } from '../journal/surface'
import type { PhotoPoint } from './camera'
import { baseOf, type FitBase, type FitState, stateAt, unknownCount, unknownIndex } from './fit-state'
import { type ContourSigns, type FitTask, huber, linearise } from './fit-task'
import { type Linearisation, minimise } from './levenberg-marquardt'
import { mapJacobianAt } from './map-covariance'
import { inverseOfPositiveDefinite } from './symmetric-matrix'
import { pixelToMap } from './unproject'

export type JointPhoto = { task: FitTask; base: FitBase; contourSigns: ContourSigns }

/** What a tie holds together: a photograph (its place in the list) at a pixel, or the map itself at a place. */
export type TieEnd = { photo: number; pixel: PhotoPoint } | { photo: null; place: MapPoint }

export type Tie = {
  first: TieEnd
  second: TieEnd
  /** Of the difference (R theta, s), mm^-2: xx, xy, yy. */
  information: readonly [number, number, number]
}

/** An unknown of the lens that photographs have in common: each one's own value lies about the common one with its own sigma. */
export type LensShare = { unknown: 'logFocal' | 'k1'; members: readonly { photo: number; sigma: number }[] }

export type JointSolution = {
  states: FitState[]
  /** Each photograph's own block of the covariance, in the order of its task's unknowns. */
  covariances: Float64Array[]
  /** Median whitened tie residual over what a normal one would have: 1 where the ties are as good as they claim. */
  tieScale: number
}

/** Null where the problem cannot be evaluated or some unknown is tied to nothing. */
export function solveJointly(
  surface: Surface,
  photos: readonly JointPhoto[],
  ties: readonly Tie[],
  shares: readonly LensShare[] = [],
): JointSolution | null {
  let tieScale = 1
  let current = photos
  for (let round = 0; round < 2; round++) {
    const solved = solveOnce(surface, current, ties, shares, tieScale)
    if (!solved) return null
    current = current.map((photo, i) => ({ ...photo, base: baseOf(solved[i].camera, solved[i].surface) }))
    tieScale *= Math.max(1, medianResidual(surface, current, ties, tieScale))
  }
  const settled = solveOnce(surface, current, ties, shares, tieScale)
  if (!settled) return null
  const bases = current.map((photo, i) => ({ ...photo, base: baseOf(settled[i].camera, settled[i].surface) }))
  const covariances = blockCovariances(surface, bases, ties, shares, tieScale)
  return covariances && { states: settled, covariances, tieScale }
}

function solveOnce(
  surface: Surface,
  photos: readonly JointPhoto[],
  ties: readonly Tie[],
  shares: readonly LensShare[],
  tieScale: number,
): FitState[] | null {
  const solution = minimise(
    { linearise: (parameters) => lineariseAll(surface, photos, ties, shares, tieScale, parameters) },
    new Float64Array(unknownTotal(photos)),
    { maxIterations: 25, costTolerance: 1e-8, stepTolerance: 1e-12 },
  )
  return solution && photos.map((photo, i) => stateAt(photo.base, expand(photo, solution.parameters, offsetOf(photos, i))))
}

function lineariseAll(
  surface: Surface,
  photos: readonly JointPhoto[],
  ties: readonly Tie[],
  shares: readonly LensShare[],
  tieScale: number,
  parameters: Float64Array,
): Linearisation | null {
  const total = parameters.length
  const full = photos.map((photo, i) => expand(photo, parameters, offsetOf(photos, i)))
  const residuals: number[] = []
  const rows: Float64Array[] = []
  for (const [i, photo] of photos.entries()) {
    const own = linearise(photo.task, photo.base, full[i], photo.contourSigns)
    if (!own) return null
    const n = photo.task.unknowns.length
    for (let r = 0; r < own.residuals.length; r++) {
      residuals.push(own.residuals[r])
      const row = new Float64Array(total)
      row.set(own.jacobian.subarray(r * n, (r + 1) * n), offsetOf(photos, i))
      rows.push(row)
    }
  }
  const states = photos.map((photo, i) => stateAt(photo.base, full[i]))
  for (const tie of ties) {
    const difference = tieDifference(surface, photos, states, tie)
    if (!difference) return null
    const u = whitening(tie.information, tieScale)
    for (const [ua, us] of [
      [u[0], u[1]],
      [0, u[2]],
    ]) {
      const { value, slope } = huber(ua * difference.around + us * difference.along)
      residuals.push(value)
      const row = new Float64Array(total)
      for (const [{ photo }, sign, jacobian] of [
        [tie.first, 1, difference.first],
        [tie.second, -1, difference.second],
      ] as const) {
        if (photo === null || jacobian === null) continue
        const offset = offsetOf(photos, photo)
        for (let k = 0; k < jacobian[0].length; k++) row[offset + k] += slope * sign * (ua * jacobian[0][k] + us * jacobian[1][k])
      }
      rows.push(row)
    }
  }
  for (const share of shares) addShare(photos, states, share, total, residuals, rows)
  const jacobian = new Float64Array(rows.length * total)
  for (const [r, row] of rows.entries()) jacobian.set(row, r * total)
  return { residuals: Float64Array.from(residuals), jacobian }
}

/** What each member differs by from the members' weighted mean: the common value is solved without standing among the unknowns. */
function addShare(
  photos: readonly JointPhoto[],
  states: readonly FitState[],
  { unknown, members }: LensShare,
  total: number,
  residuals: number[],
  rows: Float64Array[],
): void {
  const weights = members.map(({ sigma }) => 1 / sigma ** 2)
  const whole = weights.reduce((sum, weight) => sum + weight, 0)
  const values = members.map(({ photo }) => {
    const { camera } = states[photo]
    return unknown === 'k1' ? camera.k1 : Math.log(camera.focalPx)
  })
  const mean = values.reduce((sum, value, i) => sum + (weights[i] / whole) * value, 0)
  const columns = members.map(({ photo }) => offsetOf(photos, photo) + photos[photo].task.unknowns.indexOf(unknownIndex[unknown]))
  members.forEach(({ sigma }, i) => {
    const row = new Float64Array(total)
    columns.forEach((column, j) => {
      row[column] = ((i === j ? 1 : 0) - weights[j] / whole) / sigma
    })
    residuals.push((values[i] - mean) / sigma)
    rows.push(row)
  })
}

function tieDifference(surface: Surface, photos: readonly JointPhoto[], states: readonly FitState[], tie: Tie) {
  const first = seenPlace(photos, states, tie.first)
  const second = seenPlace(photos, states, tie.second)
  if (!first || !second) return null
  const turn = first.place.theta - second.place.theta
  return {
    around: surface.radius * (turn - 2 * Math.PI * Math.round(turn / (2 * Math.PI))),
    along: first.place.s - second.place.s,
    first: first.byUnknowns,
    second: second.byUnknowns,
  }
}

function seenPlace(photos: readonly JointPhoto[], states: readonly FitState[], end: TieEnd) {
  if (end.photo === null) return { place: end.place, byUnknowns: null }
  const state = states[end.photo]
  const found = pixelToMap(state.surface, state.camera, end.pixel)
  const jacobian = found.ok ? mapJacobianAt(state, photos[end.photo].task.unknowns, found.value) : null
  return found.ok && jacobian ? { place: found.value, byUnknowns: jacobian.byUnknowns } : null
}

/** Upper Cholesky factor of the information matrix, weakened by the scale. */
function whitening([xx, xy, yy]: readonly [number, number, number], scale: number): [number, number, number] {
  const a = Math.sqrt(Math.max(0, xx))
  const b = a > 0 ? xy / a : 0
  return [a / scale, b / scale, Math.sqrt(Math.max(0, yy - b * b)) / scale]
}

function medianResidual(surface: Surface, photos: readonly JointPhoto[], ties: readonly Tie[], scale: number): number {
  const states = photos.map((photo) => stateAt(photo.base, new Float64Array(unknownCount)))
  const sizes: number[] = []
  for (const tie of ties) {
    const difference = tieDifference(surface, photos, states, tie)
    if (!difference) continue
    const [a, b, c] = whitening(tie.information, scale)
    sizes.push(Math.abs(a * difference.around + b * difference.along), Math.abs(c * difference.along))
  }
  if (sizes.length === 0) return 1
  const normalMedian = 0.6745
  return sizes.sort((x, y) => x - y)[sizes.length >> 1] / normalMedian
}

function blockCovariances(
  surface: Surface,
  photos: readonly JointPhoto[],
  ties: readonly Tie[],
  shares: readonly LensShare[],
  tieScale: number,
): Float64Array[] | null {
  const total = unknownTotal(photos)
  const linear = lineariseAll(surface, photos, ties, shares, tieScale, new Float64Array(total))
  if (!linear) return null
  const { jacobian } = linear
  const information = new Float64Array(total * total)
  for (let r = 0; r < linear.residuals.length; r++) {
    for (let i = 0; i < total; i++) {
      const value = jacobian[r * total + i]
      if (value === 0) continue
      for (let j = 0; j < total; j++) information[i * total + j] += value * jacobian[r * total + j]
    }
  }
  const covariance = inverseOfPositiveDefinite(information, total)
  if (!covariance) return null
  const loose = photos.some(({ task }, index) => {
    const roll = task.unknowns.indexOf(unknownIndex.roll)
    const at = offsetOf(photos, index) + roll
    return roll >= 0 && covariance[at * total + at] > undeterminedRoll
  })
  if (loose) return null
  return photos.map((photo, index) => {
    const n = photo.task.unknowns.length
    const offset = offsetOf(photos, index)
    const block = new Float64Array(n * n)
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) block[i * n + j] = covariance[(offset + i) * total + offset + j]
    return block
  })
}

/** Variance of an angle about the shaft that nothing holds, square radians: rounding alone can make it look finite. */
const undeterminedRoll = 1

function expand({ task }: JointPhoto, parameters: ArrayLike<number>, offset: number): Float64Array {
  const full = new Float64Array(unknownCount)
  task.unknowns.forEach((slot, k) => {
    full[slot] = parameters[offset + k]
  })
  return full
}

function offsetOf(photos: readonly JointPhoto[], index: number): number {
  let offset = 0
  for (let i = 0; i < index; i++) offset += photos[i].task.unknowns.length
  return offset
}

function unknownTotal(photos: readonly JointPhoto[]): number {
  return offsetOf(photos, photos.length)
}
