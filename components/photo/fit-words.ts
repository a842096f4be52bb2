/** What a fit says to a person: good or not, what is missing, which point to look at and by how much. */
import type { Warning } from '@/lib/model/findings'
import type { Units } from '@/lib/model/inspection'
import type { Handles } from '@/lib/model/photo'
import { formatLength } from '@/lib/model/units'
import type { Fit, FitFailure } from '@/lib/photo/cylinder-fit'
import { notPlacedText } from '@/lib/photo/fit-failure-text'
import type { HandleResidual } from '@/lib/photo/fit-residuals'
import { trustLimits } from '@/lib/photo/fit-quality'
import { editedHandle, type FitStep, handleWord, isOff, type StepStanding } from './fit-steps'
import type { FitResult } from './fit-cache'

/** One line beside the photograph: "fit good (0.6 px)". */
export function fitLine(result: FitResult): string {
  if (!result.ok) {
    if (result.reason.code === 'strip') return 'printed strip not found yet'
    return result.reason.code === 'no-handles' ? 'not fitted yet' : 'fit not finished'
  }
  const { trusted, rmsPx, rollKnown } = result.value
  const unknown = rollKnown ? '' : ', angle not known'
  return trusted ? `fit good (${rmsPx.toFixed(1)} px)${unknown}` : `look at the fit again (${rmsPx.toFixed(1)} px)${unknown}`
}

/** Where a photograph without an oil hole or witness mark has its angle about the shaft from, or why it has none; null: nothing to say. */
export function alignmentLine(result: FitResult, units: Units): string | null {
  if (!result.ok) return null
  const { warnings, sigmas } = result.value
  if (warnings.some(({ code }) => code === 'roll-from-neighbours'))
    return `Angle from its neighbours, ${lengthSpread(sigmas.aroundMm ?? 0, units)} around.`
  if (warnings.some(({ code }) => code === 'placed-by-neighbours'))
    return `Placed by its neighbours, ${lengthSpread(sigmas.aroundMm ?? 0, units)} around.`
  return warnings.find(({ code }) => code === 'matches-nowhere' || code === 'not-placed')?.text ?? null
}

/** Why there is no fit, and what to add. */
export function fitFailureWords(failure: FitFailure): string {
  switch (failure.code) {
    case 'no-handles':
      return 'Nothing is placed yet. Begin with the two sides, three points along each.'
    case 'too-few':
      return `${failure.have} of the ${failure.need} readings that a fit needs are there. ${whatToAdd(failure)}`
    case 'degenerate':
      return `These points leave the view open: other views of the journal fit them as well. ${whatToAdd(failure)}`
    case 'not-placed':
      return `${fitFailureWords(failure.own)} ${notPlacedText[failure.why]}`
    case 'contradictory':
      return 'No view of this journal agrees with the points. See whether front and rear ring are exchanged, whether a point is far off, and whether the diameter in the set-up is right.'
    case 'strip':
      return failure.warning.text
  }
}

function whatToAdd({ sides, rings }: { sides: number; rings: number }): string {
  if (sides === 0) return 'Add points on both sides.'
  if (sides === 1 && rings < 2) return 'Add points on the other side, or on both rings.'
  if (rings === 0) return 'Add points on a ring, three or more.'
  return 'Spread the points further apart along the sides and the rings.'
}

export const standingWords: Record<StepStanding, string> = {
  empty: '',
  more: 'more points',
  set: 'set',
  good: 'good',
  'look-again': 'look again',
}

/** Why to look again, and by how much: "this point lies 1.10 mm from where the others put it. The others agree to 0.06 mm." */
export function lookAgainWords(off: readonly HandleResidual[], all: readonly HandleResidual[], units: Units): string {
  const worst = off[0]
  if (!worst) return ''
  const others = all.filter((residual) => !isOff(residual))
  const agree = Math.sqrt(others.reduce((sum, { residualMm }) => sum + residualMm ** 2, 0) / Math.max(1, others.length))
  const which = off.length === 1 ? 'the ringed point lies' : `${off.length} points lie up to`
  return `${which} ${formatLength(worst.residualMm, units)} from where the others put ${off.length === 1 ? 'it' : 'them'}. The others agree to ${formatLength(agree, units)}. A poor fit never makes a finding milder.`
}

/** A warning of the fit with the screen's own names of handles, and lengths in its units, as ± 95 %. */
export function fitWarningWords(warning: Warning, fit: Fit, steps: readonly FitStep[], handles: Handles, units: Units): string {
  switch (warning.code) {
    case 'handles-disagree': {
      const worst = fit.residuals.reduce((a, b) => (b.studentised > a.studentised ? b : a))
      const name = handleWord(steps, handles, editedHandle(worst.handle)).toLowerCase()
      return `The handles contradict each other by more than a hand picks. Marks in this photograph stay unresolved until one is mended. Look first at ${name}: ${formatLength(worst.residualMm, units)} from the fit.`
    }
    case 'angle-unsure':
      return `These handles leave an angle to the shaft uncertain by ${angleSpread(fit.sigmas.angleDeg)}; up to ${angleSpread(trustLimits.angleSigmaDeg)} is judged by.`
    case 'fillet-unsure':
      return `These handles leave the distance to the fillet uncertain by ${lengthSpread(fit.sigmas.filletMm ?? 0, units)}; up to ${lengthSpread(trustLimits.filletSigmaMm, units)} is judged by.`
    default:
      return warning.text
  }
}

/** ± 95 % of an angle, finer than a finding tells it so that a small gain shows: "± 0.42°". */
export function angleSpread(sigmaDeg: number): string {
  const spread = 1.96 * sigmaDeg
  return `± ${spread.toFixed(spread < 1 ? 2 : 1)}°`
}

export function lengthSpread(sigmaMm: number, units: Units): string {
  return `± ${formatLength(1.96 * sigmaMm, units)}`
}
