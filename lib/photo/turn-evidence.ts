/**
 * What a correlation over all turns says for each of them, as a logarithm of likelihoods: that two photographs show the same steel there,
 * against that they do not. How far chance alone carries the correlation is read off the curve itself, of which nearly all is chance.
 * So the curves of many pairs can be added up, weak ones too.
 */
import type { TurnCorrelation } from './strip-correlation'

/** By columns of the turn; the logarithm of a ratio of likelihoods, 0 where nothing can be said. */
export type TurnEvidence = Float64Array

/** Correlations where the same steel is laid on itself, under other lamps: mean and deviation, seen on rendered photographs. */
const alike = { mean: 0.3, deviation: 0.15 }
/** How often the same steel shows nothing that could be alike: smooth, in a highlight, or hidden in one of both. */
const nothingAlike = 0.3
/** One curve alone must not settle everything, whatever it claims; nor a little of the map, where one thing may look like another. */
const mostEvidence = 40
const muchOverlap = 0.1

/** `sameStandpoint`: columns at which both cameras stand at one place, where lamps and shadows match; within `leastTurn` of it nothing is taken. */
export function turnEvidence(
  { correlation, overlap, whole }: Omit<TurnCorrelation, 'rows'>,
  sameStandpoint: number,
  leastTurn: number,
): TurnEvidence {
  const width = correlation.length
  const told = (k: number) => !Number.isNaN(correlation[k]) && Math.abs(columnsBetween(k, sameStandpoint, width)) >= leastTurn
  const columns = [...correlation.keys()].filter(told)
  const evidence = new Float64Array(width)
  if (columns.length < leastColumns) return evidence
  const scores = columns.map((k) => correlation[k] * Math.sqrt(overlap[k])).sort((a, b) => a - b)
  const middle = scores[scores.length >> 1]
  // one deviation of a normal one lies at 16 and 84 %
  const spread = Math.max(scores[Math.floor(0.84 * scores.length)] - middle, middle - scores[Math.floor(0.16 * scores.length)])
  for (const k of columns) {
    const by = 1 / Math.sqrt(overlap[k])
    const sigma = spread * by
    const c = correlation[k] - middle * by
    const variance = sigma ** 2 + alike.deviation ** 2
    const same = -0.5 * ((c - alike.mean) ** 2 / variance + Math.log(variance))
    const chance = -0.5 * ((c / sigma) ** 2 + Math.log(sigma ** 2))
    // below what chance gives, the less is not the more
    const most = mostEvidence * Math.min(1, overlap[k] / (muchOverlap * whole))
    const ratio = c > 0 ? Math.exp(Math.min(most, same - chance)) : Math.min(1, Math.exp(same - chance))
    evidence[k] = Math.log(nothingAlike + (1 - nothingAlike) * ratio)
  }
  return evidence
}

/** Fewer turns than this tell nothing of chance. */
const leastColumns = 100

export function columnsBetween(one: number, other: number, width: number): number {
  const d = one - other
  return d - width * Math.round(d / width)
}
