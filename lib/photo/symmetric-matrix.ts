/** Small symmetric positive definite matrices, dense and row-major. */

/**
 * Inverse of an n x n symmetric positive definite matrix by Cholesky, after scaling to a unit diagonal.
 * Null where a scaled pivot falls under `rankTolerance`: some combination of unknowns is then not determined.
 */
export function inverseOfPositiveDefinite(matrix: Float64Array, n: number, rankTolerance = 1e-13): Float64Array | null {
  const d = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    if (!(matrix[i * n + i] > 0)) return null
    d[i] = 1 / Math.sqrt(matrix[i * n + i])
  }
  const l = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * n + j] * d[i] * d[j]
      for (let k = 0; k < j; k++) sum -= l[i * n + k] * l[j * n + k]
      if (i === j) {
        if (!(sum > rankTolerance)) return null
        l[i * n + i] = Math.sqrt(sum)
      } else l[i * n + j] = sum / l[j * n + j]
    }
  }
  const inverse = new Float64Array(n * n)
  for (let column = 0; column < n; column++) {
    const x = new Float64Array(n)
    for (let i = 0; i < n; i++) {
      let sum = i === column ? 1 : 0
      for (let k = 0; k < i; k++) sum -= l[i * n + k] * x[k]
      x[i] = sum / l[i * n + i]
    }
    for (let i = n - 1; i >= 0; i--) {
      let sum = x[i]
      for (let k = i + 1; k < n; k++) sum -= l[k * n + i] * x[k]
      x[i] = sum / l[i * n + i]
    }
    for (let i = 0; i < n; i++) inverse[i * n + column] = x[i] * d[i] * d[column]
  }
  return inverse
}
