/** Variances and covariances of linear functions (GUM, JCGM 100:2008, 5.2), from a dense row-major covariance matrix. */

/** gradient' C gradient: the variance of a linear function. */
export function quadraticForm(matrix: Float64Array, gradient: ArrayLike<number>): number {
  return Math.max(0, bilinearForm(matrix, gradient, gradient))
}

/** a' C b: the covariance of two linear functions. */
export function bilinearForm(matrix: Float64Array, a: ArrayLike<number>, b: ArrayLike<number>): number {
  const n = a.length
  let sum = 0
  for (let i = 0; i < n; i++) {
    if (a[i] === 0) continue
    let row = 0
    for (let j = 0; j < n; j++) row += matrix[i * n + j] * b[j]
    sum += a[i] * row
  }
  return sum
}
