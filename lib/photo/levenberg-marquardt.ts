/**
 * Levenberg-Marquardt for small dense problems: each step solves the damped linear problem by Householder QR of
 * the stacked matrix [J; sqrt(lambda) D] with D the running column norms, slowly forgotten (J. J. More, "The Levenberg-Marquardt
 * algorithm: implementation and theory", 1978); damping follows the gain ratio (H. B. Nielsen, 1999). QR keeps the
 * digits that normal equations lose: it is checked against the certified sets of NIST's Statistical Reference Datasets.
 */
export type Linearisation = {
  /** m residuals. */
  residuals: Float64Array
  /** m x n, row-major: derivative of each residual by each parameter. */
  jacobian: Float64Array
}

export type LeastSquaresProblem = {
  /**
   * Residuals and Jacobian at the parameters; null where the model cannot be evaluated (the step is then shortened).
   * `spare` is an earlier answer that is no longer needed: it may be written over and returned.
   */
  linearise(parameters: Float64Array, spare: Linearisation | null): Linearisation | null
}

export type LeastSquaresOptions = {
  maxIterations?: number
  /** Stop when a step is this small relative to the parameters. */
  stepTolerance?: number
  /** Damping of the first step: large where the start is wild, so that it cannot leap onto a plateau. */
  firstDamping?: number
  /** Stop when both the actual and the predicted relative reduction of the cost are this small. */
  costTolerance?: number
  /** A cost to come under: given up, unconverged, where even four more steps like the last one would not. */
  rivalCost?: number
}

const stepsToRival = 4

export type LeastSquaresSolution = {
  parameters: Float64Array
  /** Half the sum of squared residuals. */
  cost: number
  linearisation: Linearisation
  iterations: number
  converged: boolean
}

/** Minimises half the sum of squared residuals; null where even the start cannot be evaluated. */
export function minimise(
  problem: LeastSquaresProblem,
  start: ArrayLike<number>,
  options: LeastSquaresOptions = {},
): LeastSquaresSolution | null {
  const {
    maxIterations = 100,
    stepTolerance = 1e-12,
    costTolerance = 1e-14,
    firstDamping = 1e-3,
    rivalCost = Number.POSITIVE_INFINITY,
  } = options
  const n = start.length
  let parameters = Float64Array.from(start)
  const first = problem.linearise(parameters, null)
  if (!first || !allFinite(first.residuals) || !allFinite(first.jacobian)) return null
  let current = first
  let spare: Linearisation | null = null
  let cost = halfSquares(current.residuals)
  const scaling = new Float64Array(n)
  const room = roomFor(current.residuals.length + n, n)
  let trial = new Float64Array(n)
  let damping = firstDamping
  let growth = 2
  let iterations = 0
  while (iterations < maxIterations) {
    iterations++
    raiseToColumnNorms(scaling, current.jacobian, n)
    const step = dampedStep(current, scaling, damping, n, room)
    for (let i = 0; i < n; i++) trial[i] = parameters[i] + step[i]
    const next: Linearisation | null = allFinite(trial) ? problem.linearise(trial, spare) : null
    const nextCost = next && allFinite(next.jacobian) ? halfSquares(next.residuals) : Number.POSITIVE_INFINITY
    const predicted = predictedReduction(current, step, n)
    const actual = cost - nextCost
    const small = stepIsSmall(step, parameters, stepTolerance)
    if (next && nextCost <= cost && Number.isFinite(nextCost)) {
      const settled = actual <= costTolerance * cost && predicted <= costTolerance * cost
      const gain = predicted > 0 ? actual / predicted : 0
      const before = parameters
      parameters = trial
      trial = before
      spare = current
      current = next
      cost = nextCost
      damping = Math.max(1e-20, damping * Math.max(1 / 3, 1 - (2 * gain - 1) ** 3))
      growth = 2
      if (settled || small || cost === 0) return { parameters, cost, linearisation: current, iterations, converged: true }
      if (cost - stepsToRival * actual > rivalCost) break
    } else {
      if (next) spare = next
      if (small) return { parameters, cost, linearisation: current, iterations, converged: true }
      damping *= growth
      growth *= 2
      if (!Number.isFinite(damping)) break
    }
  }
  return { parameters, cost, linearisation: current, iterations, converged: false }
}

/** The stacked matrix, its right side and the step: kept from one iteration to the next. */
type Room = { a: Float64Array; b: Float64Array; step: Float64Array }

function roomFor(rows: number, n: number): Room {
  return { a: new Float64Array(rows * n), b: new Float64Array(rows), step: new Float64Array(n) }
}

function dampedStep({ residuals, jacobian }: Linearisation, scaling: Float64Array, damping: number, n: number, room: Room): Float64Array {
  const m = residuals.length
  const { a, b, step } = room
  a.set(jacobian)
  a.fill(0, m * n)
  b.fill(0, m)
  for (let i = 0; i < m; i++) b[i] = -residuals[i]
  const root = Math.sqrt(damping)
  for (let j = 0; j < n; j++) a[(m + j) * n + j] = root * (scaling[j] || 1)
  solveByHouseholder(a, b, m + n, n, step)
  return step
}

/** Least squares min |a x - b| for a full-rank rows x n matrix; a and b are overwritten. */
function solveByHouseholder(a: Float64Array, b: Float64Array, rows: number, n: number, x: Float64Array): void {
  for (let k = 0; k < n; k++) {
    let norm = columnNorm(a, rows, n, k)
    if (norm === 0) continue
    if (a[k * n + k] > 0) norm = -norm
    const pivot = a[k * n + k] - norm
    // v = column - norm e_k, scaled so that v_k = 1
    for (let i = k + 1; i < rows; i++) a[i * n + k] /= pivot
    const factor = -pivot / norm
    a[k * n + k] = norm
    for (let j = k + 1; j < n; j++) {
      let sum = a[k * n + j]
      for (let i = k + 1; i < rows; i++) sum += a[i * n + k] * a[i * n + j]
      sum *= factor
      a[k * n + j] -= sum
      for (let i = k + 1; i < rows; i++) a[i * n + j] -= sum * a[i * n + k]
    }
    let sum = b[k]
    for (let i = k + 1; i < rows; i++) sum += a[i * n + k] * b[i]
    sum *= factor
    b[k] -= sum
    for (let i = k + 1; i < rows; i++) b[i] -= sum * a[i * n + k]
  }
  for (let k = n - 1; k >= 0; k--) {
    let value = b[k]
    for (let j = k + 1; j < n; j++) value -= a[k * n + j] * x[j]
    x[k] = a[k * n + k] === 0 ? 0 : value / a[k * n + k]
  }
}

/** Norm of column k from row k down, scaled so that no square over- or underflows. */
function columnNorm(a: Float64Array, rows: number, n: number, k: number): number {
  let largest = 0
  for (let i = k; i < rows; i++) largest = Math.max(largest, Math.abs(a[i * n + k]))
  if (!(largest > 0)) return largest
  let sum = 0
  for (let i = k; i < rows; i++) sum += (a[i * n + k] / largest) ** 2
  return largest * Math.sqrt(sum)
}

function predictedReduction({ residuals, jacobian }: Linearisation, step: Float64Array, n: number): number {
  let before = 0
  let after = 0
  for (let i = 0; i < residuals.length; i++) {
    let r = residuals[i]
    before += r * r
    for (let j = 0; j < n; j++) r += jacobian[i * n + j] * step[j]
    after += r * r
  }
  return (before - after) / 2
}

/** What each step leaves of an earlier, larger column norm. More leaves all of it, and stalls where the Jacobian falls by many orders. */
const scalingMemory = 0.7

function raiseToColumnNorms(scaling: Float64Array, jacobian: Float64Array, n: number): void {
  const m = jacobian.length / n
  for (let j = 0; j < n; j++) {
    let sum = 0
    for (let i = 0; i < m; i++) sum += jacobian[i * n + j] ** 2
    scaling[j] = Math.max(scalingMemory * scaling[j], Math.sqrt(sum))
  }
}

function stepIsSmall(step: Float64Array, parameters: Float64Array, tolerance: number): boolean {
  for (let i = 0; i < step.length; i++) if (Math.abs(step[i]) > tolerance * (Math.abs(parameters[i]) + tolerance)) return false
  return true
}

function halfSquares(residuals: Float64Array): number {
  let sum = 0
  for (let i = 0; i < residuals.length; i++) sum += residuals[i] * residuals[i]
  return sum / 2
}

function allFinite(values: Float64Array): boolean {
  for (let i = 0; i < values.length; i++) if (!Number.isFinite(values[i])) return false
  return true
}
