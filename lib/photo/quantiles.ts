/** Quantiles of the distributions that the trust thresholds and the one-sided bounds are read from. */

const z95 = 1.6448536269514722
const z99 = 2.3263478740408408
const z999 = 3.090232306167813

/**
 * One-sided 95 % quantile of Student's t: 1.645 for many degrees of freedom, 2.13 for four.
 * Cornish-Fisher series in 1/dof (Abramowitz and Stegun 26.7.5); exact closed forms for one and two.
 */
export function studentBound95(degreesOfFreedom: number): number {
  if (degreesOfFreedom <= 1) return 6.313751514675041
  if (degreesOfFreedom === 2) return 2.919985580355516
  const z = z95
  const n = degreesOfFreedom
  const g1 = (z ** 3 + z) / 4
  const g2 = (5 * z ** 5 + 16 * z ** 3 + 3 * z) / 96
  const g3 = (3 * z ** 7 + 19 * z ** 5 + 17 * z ** 3 - 15 * z) / 384
  const g4 = (79 * z ** 9 + 776 * z ** 7 + 1482 * z ** 5 - 1920 * z ** 3 - 945 * z) / 92160
  return z + g1 / n + g2 / n ** 2 + g3 / n ** 3 + g4 / n ** 4
}

/** 99 % quantile of chi-square. */
export function chiSquare99(degreesOfFreedom: number): number {
  return degreesOfFreedom === 1 ? 6.6348966010212145 : wilsonHilferty(degreesOfFreedom, z99)
}

/** 99.9 % quantile of chi-square. */
export function chiSquare999(degreesOfFreedom: number): number {
  return degreesOfFreedom === 1 ? 10.827566170662733 : wilsonHilferty(degreesOfFreedom, z999)
}

/** Wilson and Hilferty (1931): within 1 % from two degrees of freedom on. */
function wilsonHilferty(degreesOfFreedom: number, z: number): number {
  if (degreesOfFreedom <= 0) return 0
  const k = 2 / (9 * degreesOfFreedom)
  return degreesOfFreedom * (1 - k + z * Math.sqrt(k)) ** 3
}
