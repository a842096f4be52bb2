/**
 * Normal equations in the shape of an arrow: one block for each photograph's own unknowns, all coupled by what they share. Steps and
 * covariances by the Schur complement (B. Triggs et al., "Bundle adjustment: a modern synthesis", 2000, section 6).
 */
import { inverseOfPositiveDefinite } from './symmetric-matrix'

/** Normal equations of one photograph: own block, coupling to what is shared, and what it says of that; the last: the priors of that. */
export type Linear = {
  n: number
  size: number
  own: Float64Array
  coupling: Float64Array
  ownPull: Float64Array
  shared: Float64Array
  sharedPull: Float64Array
  cost: number
}
/** By each photograph's unknowns, and by what is shared. */
export type Step = { photos: Float64Array[]; shared: Float64Array }

/** `n` unknowns of its own, `size` shared ones. */
export function emptyLinear(n: number, size: number): Linear {
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

/** Null where some unknowns are tied to nothing. `damping`: share of the diagonal that is added to it. */
export function dampedStep(all: readonly Linear[], damping: number): Step | null {
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
export function foldedIn(
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

/** Half the sum of squared residuals. */
export function costOf(all: readonly Linear[]): number {
  return all.reduce((sum, { cost }) => sum + cost, 0)
}

/** Of the photograph's unknowns alone (the ink's spread left out), what is left open of the shared ones counted in. */
export function ownCovariance({ n, inverse, toShared }: Way, shared: Float64Array, size: number): Float64Array {
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
