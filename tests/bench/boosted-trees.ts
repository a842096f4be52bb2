/**
 * Fits small decision trees one after the other to what is still wrong (gradient boosting with the logistic loss, J. H. Friedman 2001;
 * Newton steps in the leaves), on features cut into 48 quantiles. Same data, same trees.
 */
import type { Trees } from '../../lib/trace/candidate-score'

export type Sample = { features: ArrayLike<number> /** 0..1 */; target: number; weight: number }
type Split = { feature: number; limit: number; gain: number }

const bins = 48

export function boostedTrees(
  samples: readonly Sample[],
  options: { trees: number; rate: number; leastWeight: number; ridge: number },
): Trees {
  const count = samples[0].features.length
  const limits = Array.from({ length: count }, (_, f) => quantiles(samples.map(({ features }) => features[f])))
  const binned = samples.map(({ features }) => Uint8Array.from({ length: count }, (_, f) => binOf(limits[f], features[f])))
  const total = samples.reduce((sum, { weight }) => sum + weight, 0)
  const rate = samples.reduce((sum, { weight, target }) => sum + weight * target, 0) / total
  const base = Math.log(rate / (1 - rate))
  const sums = new Float64Array(samples.length).fill(base)
  const rows: number[][] = []
  for (let t = 0; t < options.trees; t++) {
    const slope = new Float64Array(samples.length)
    const bend = new Float64Array(samples.length)
    samples.forEach(({ target, weight }, i) => {
      const p = 1 / (1 + Math.exp(-sums[i]))
      slope[i] = weight * (target - p)
      bend[i] = weight * Math.max(1e-4, p * (1 - p))
    })
    const row = new Array<number>(22).fill(0)
    let groups: number[][] = [samples.map((_, i) => i)]
    for (let level = 0; level < 3; level++) {
      const next: number[][] = []
      groups.forEach((group, g) => {
        const node = 2 ** level - 1 + g
        const split = bestSplit(group, binned, limits, slope, bend, options)
        row[2 * node] = split?.feature ?? 0
        row[2 * node + 1] = split ? split.limit : 1e9
        const [feature, limit] = [row[2 * node], row[2 * node + 1]]
        next.push(
          group.filter((i) => !(samples[i].features[feature] > limit)),
          group.filter((i) => samples[i].features[feature] > limit),
        )
      })
      groups = next
    }
    groups.forEach((group, g) => {
      let [s, b] = [0, 0]
      for (const i of group) {
        s += slope[i]
        b += bend[i]
      }
      const step = group.length > 0 ? (options.rate * s) / (b + options.ridge) : 0
      row[14 + g] = Number(step.toPrecision(4))
      for (const i of group) sums[i] += row[14 + g]
    })
    rows.push(row)
  }
  return { base: Number(base.toPrecision(5)), rows }
}

function bestSplit(
  group: readonly number[],
  binned: readonly Uint8Array[],
  limits: readonly number[][],
  slope: Float64Array,
  bend: Float64Array,
  { leastWeight, ridge }: { leastWeight: number; ridge: number },
): Split | null {
  let best: Split | null = null
  let [allSlope, allBend] = [0, 0]
  for (const i of group) {
    allSlope += slope[i]
    allBend += bend[i]
  }
  for (let f = 0; f < limits.length; f++) {
    const s = new Float64Array(bins + 1)
    const b = new Float64Array(bins + 1)
    for (const i of group) {
      s[binned[i][f]] += slope[i]
      b[binned[i][f]] += bend[i]
    }
    let [ls, lb] = [0, 0]
    for (let k = 0; k < limits[f].length; k++) {
      ls += s[k]
      lb += b[k]
      const [rs, rb] = [allSlope - ls, allBend - lb]
      if (lb < leastWeight || rb < leastWeight) continue
      const gain = (ls * ls) / (lb + ridge) + (rs * rs) / (rb + ridge) - (allSlope * allSlope) / (allBend + ridge)
      if (gain > 1e-6 && (!best || gain > best.gain)) best = { feature: f, limit: limits[f][k], gain }
    }
  }
  return best
}

function quantiles(values: number[]): number[] {
  const sorted = [...values].sort((a, b) => a - b)
  const cuts = Array.from({ length: bins - 1 }, (_, k) => Number(sorted[Math.floor(((k + 1) * sorted.length) / bins)].toPrecision(4)))
  return [...new Set(cuts)]
}

/** Bin k holds values above limits[k - 1] and not above limits[k]. */
function binOf(limits: readonly number[], value: number): number {
  let k = 0
  while (k < limits.length && value > limits[k]) k++
  return k
}
