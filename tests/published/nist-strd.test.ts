import { describe, expect, it } from 'vitest'
import { minimise } from '../../lib/photo/levenberg-marquardt'
import { inverseOfPositiveDefinite } from '../../lib/photo/symmetric-matrix'
import strd from '../fixtures/nist-strd.json'
import { derivativeError, digitsOfAgreement, strdModels, strdResponse } from './nist-models'

type StrdSet = (typeof strd)[number]

function solve(set: StrdSet, start: readonly number[]) {
  const model = strdModels[set.name]
  const n = start.length
  return minimise(
    {
      linearise(parameters) {
        const residuals = new Float64Array(set.data.length)
        const jacobian = new Float64Array(set.data.length * n)
        set.data.forEach(([y, ...x], i) => {
          const [value, ...slopes] = model(parameters, x)
          residuals[i] = value - strdResponse(set.name, y)
          jacobian.set(slopes, i * n)
        })
        return { residuals, jacobian }
      },
    },
    start,
    { maxIterations: 8000, firstDamping: 100 },
  )
}

describe("solver against the certified values of NIST's Statistical Reference Datasets, nonlinear regression", () => {
  it('holds all 27 sets', () => {
    expect(strd).toHaveLength(27)
    for (const set of strd) expect(strdModels[set.name], set.name).toBeDefined()
  })

  it.each(strd.map((set) => [set.name, set] as const))(
    '%s: model, data and certified parameters give the certified sum of squares',
    (_, set) => {
      const sum = set.data.reduce(
        (total, [y, ...x]) => total + (strdModels[set.name](set.certified, x)[0] - strdResponse(set.name, y)) ** 2,
        0,
      )
      // The data of the exact series carry fewer digits than their sums of squares need.
      if (set.residualSquares > 1e-10) expect(digitsOfAgreement(sum, set.residualSquares)).toBeGreaterThan(7)
      else expect(sum).toBeLessThan(1e-10)
    },
  )

  it.each(strd.map((set) => [set.name, set] as const))('%s: the model written here has the derivatives it claims', (_, set) => {
    for (const [, ...x] of set.data.filter((_, i) => i % 17 === 3))
      expect(derivativeError(strdModels[set.name], set.certified, x)).toBeLessThan(1e-4)
  })

  for (const start of [0, 1]) {
    it.each(strd.map((set) => [set.name, set.difficulty, set] as const))(`%s (%s), start ${start + 1}: at least 4 digits`, (_, __, set) => {
      const solution = solve(set, set.starts[start])
      expect(solution).not.toBeNull()
      if (!solution) return
      set.certified.forEach((certified, k) => {
        expect(digitsOfAgreement(solution.parameters[k], certified), `b${k + 1}`).toBeGreaterThanOrEqual(4)
      })
      // The two exact Lanczos series leave residuals near the rounding of their data.
      if (set.residualSquares > 1e-10) expect(digitsOfAgreement(2 * solution.cost, set.residualSquares)).toBeGreaterThanOrEqual(4)
    })
  }

  it.each(strd.filter((set) => set.residualSquares > 1e-10).map((set) => [set.name, set] as const))(
    '%s: standard deviations from the covariance, at least 3 digits',
    (_, set) => {
      const solution = solve(set, set.starts[1])
      if (!solution) throw new Error('no solution')
      const n = set.certified.length
      const { jacobian } = solution.linearisation
      const normal = new Float64Array(n * n)
      for (let i = 0; i < set.data.length; i++) {
        for (let a = 0; a < n; a++) for (let b = 0; b < n; b++) normal[a * n + b] += jacobian[i * n + a] * jacobian[i * n + b]
      }
      const inverse = inverseOfPositiveDefinite(normal, n)
      expect(inverse).not.toBeNull()
      const variance = (2 * solution.cost) / (set.data.length - n)
      set.deviations.forEach((deviation, k) => {
        expect(digitsOfAgreement(Math.sqrt(variance * (inverse?.[k * n + k] ?? 0)), deviation), `b${k + 1}`).toBeGreaterThanOrEqual(3)
      })
    },
  )
})
