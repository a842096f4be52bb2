/**
 * Trees that judge candidates under ultraviolet light, fitted to rendered sets of seeds below 1000; written by
 * `npx tsx tests/bench/suggest-refit.ts ultraviolet`, not by hand.
 */
import type { Trees } from './candidate-score'

export const ultravioletTrees: Trees = { base: 0, rows: [] }
