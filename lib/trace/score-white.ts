/**
 * Trees that judge candidates under white light, fitted to rendered sets of seeds below 1000; written by
 * `npx tsx tests/bench/suggest-refit.ts white`, not by hand.
 */
import type { Trees } from './candidate-score'

export const whiteTrees: Trees = { base: 0, rows: [] }
