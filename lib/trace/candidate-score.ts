/**
 * How likely a candidate is to be a crack: the sum of small decision trees (gradient boosting, J. H. Friedman 2001), each of which asks
 * three questions about the measured features; through the logistic function.
 */
import type { Features } from './candidate-features'

/** Trees of depth 3 in one row each: seven (feature, limit) pairs from the root downwards, then eight leaves. */
export type Trees = { base: number; rows: readonly (readonly number[])[] }

/** 0..1. */
export function scoreOf(trees: Trees, features: Features): number {
  let sum = trees.base
  for (const row of trees.rows) {
    let node = 0
    for (let level = 0; level < 3; level++) node = 2 * node + (features[row[2 * node]] > row[2 * node + 1] ? 2 : 1)
    sum += row[14 + node - 7]
  }
  return 1 / (1 + Math.exp(-sum))
}
