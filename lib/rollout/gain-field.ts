/**
 * A smooth field of gains over what one photograph shows of a journal: quadratic B-splines (C. de Boor, "A Practical Guide to Splines", 1978)
 * over the angle from the photograph's middle generator and over s, as natural logarithms, one set of coefficients for each channel.
 */
import { wrapped } from '../journal/wrapped-angle'

/** `middle`: angle of the generator nearest to the camera. Coefficients: offset knots x s knots, the knots along s together. */
export type GainField = { middle: number; totalS: number; coefficients: [Float64Array, Float64Array, Float64Array] }

/** The coefficients that bear on a place, and their shares, which add to 1. */
export type Basis = { knots: Int32Array; shares: Float64Array }

const widestOffset = (84 * Math.PI) / 180
const offsetIntervals = 14
const sIntervals = 7
export const offsetKnots = offsetIntervals + 2
export const sKnots = sIntervals + 2
export const knotCount = offsetKnots * sKnots

/** The gains of red, green and blue at an angle theta and s, into `out`. */
export function gainsAt({ middle, totalS, coefficients }: GainField, theta: number, s: number, out: Float64Array): void {
  fillBasis(scratch, wrapped(theta - middle), s, totalS)
  for (let c = 0; c < 3; c++) {
    let log = 0
    for (let k = 0; k < 9; k++) log += scratch.shares[k] * coefficients[c][scratch.knots[k]]
    out[c] = Math.exp(log)
  }
}

export function basisAt(offset: number, s: number, totalS: number): Basis {
  const basis = emptyBasis()
  fillBasis(basis, offset, s, totalS)
  return basis
}

function emptyBasis(): Basis {
  return { knots: new Int32Array(9), shares: new Float64Array(9) }
}

const scratch = emptyBasis()
const alongOffset = new Float64Array(3)
const alongS = new Float64Array(3)

function fillBasis({ knots, shares }: Basis, offset: number, s: number, totalS: number): void {
  const a = quadratic(((offset + widestOffset) / (2 * widestOffset)) * offsetIntervals, offsetIntervals, alongOffset)
  const b = quadratic((s / totalS) * sIntervals, sIntervals, alongS)
  for (let i = 0, at = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++, at++) {
      knots[at] = (a + i) * sKnots + b + j
      shares[at] = alongOffset[i] * alongS[j]
    }
  }
}

/** The three quadratic B-splines that are not 0 at x, which is held within 0..intervals; returns the first one's index. */
function quadratic(x: number, intervals: number, out: Float64Array): number {
  const held = Math.min(intervals, Math.max(0, x))
  const first = Math.min(intervals - 1, Math.floor(held))
  const t = held - first
  out[0] = (1 - t) ** 2 / 2
  out[2] = t ** 2 / 2
  out[1] = 1 - out[0] - out[2]
  return first
}
