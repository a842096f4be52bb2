/**
 * What a fit's uncertainty is made of, and what would shrink it most: computed from its covariance, not told by rote.
 * An unknown's part is what knowing it exactly would take off the variance, C - c c' / c_jj; a further handle's effect is
 * worked out by adding the rows that its points would have, C - C r r' C / (1 + r' C r) (Sherman and Morrison 1950).
 */
import type { Journal } from '../model/journal'
import { cameraPlace } from './camera'
import type { Fit } from './cylinder-fit'
import { expectedPoint, expectedRing, expectedSides } from './expected-picks'
import { helpfulPhotos } from './helpful-photos'
import { midJournalQuantities } from './fit-quality'
import { baseOf, stateAt, type UnknownName, unknownCount, unknownNames } from './fit-state'
import { measure, type Observation } from './observation'
import { quadraticForm } from '../journal/quadratic-form'

export type ExplainedQuantity = {
  quantity: 'angle' | 'fillet' | 'around'
  unit: 'deg' | 'mm'
  sigma: number
  /** Standard deviations whose squares add up to that of `sigma`, up to what the unknowns share: picks alone, then each lens unknown. */
  parts: { from: 'picks' | 'focal' | 'k1' | 'radius' | 'roll'; sigma: number }[]
  /** Handles that could be added, most useful first, as so many points, with the sigma that would be left. */
  help: { add: HelpfulHandle; points: number; sigma: number }[]
  /** Photographs that could be taken instead, best first, with the sigma that each would have by itself. */
  photos: { leanDeg: number; sigma: number }[]
}

export type HelpfulHandle = 'first-side' | 'second-side' | 'front-ring' | 'rear-ring' | 'oil-hole' | 'witness-mark'

const partOf: Partial<Record<UnknownName, ExplainedQuantity['parts'][number]['from']>> = {
  logFocal: 'focal',
  k1: 'k1',
  frontRadius: 'radius',
  rearRadius: 'radius',
}

export function explainFit(journal: Journal, fit: Fit): ExplainedQuantity[] {
  const quantities = midJournalQuantities(fit)
  if (!quantities) return []
  const deviation = (covariance: Float64Array, gradient: Float64Array) => Math.sqrt(quadraticForm(covariance, gradient))
  const worstAngle = quantities.angles.reduce((a, b) => (deviation(fit.covariance, a) >= deviation(fit.covariance, b) ? a : b))
  const helpers = helpfulRows(journal, fit)
  const photos = helpfulPhotos(journal, fit)
  const explained = (
    quantity: ExplainedQuantity['quantity'],
    unit: ExplainedQuantity['unit'],
    gradient: Float64Array,
  ): ExplainedQuantity => ({
    quantity,
    unit,
    sigma: deviation(fit.covariance, gradient),
    parts: partsOf(fit, gradient, quantity === 'around'),
    help: helpers
      .map(({ add, points, rows }) => ({ add, points, sigma: deviation(rows.reduce(withRow, fit.covariance), gradient) }))
      .sort((a, b) => a.sigma - b.sigma),
    photos: photos
      .flatMap(({ leanDeg, sigmas }) => {
        const own = { angle: sigmas.angleDeg, fillet: sigmas.filletMm, around: sigmas.aroundMm }[quantity]
        return own === null ? [] : [{ leanDeg, sigma: own }]
      })
      .sort((a, b) => a.sigma - b.sigma),
  })
  return [
    explained('angle', 'deg', worstAngle),
    ...(quantities.fillet ? [explained('fillet', 'mm', quantities.fillet)] : []),
    ...(quantities.around ? [explained('around', 'mm', quantities.around)] : []),
  ]
}

/** The picks' part is what is left when every lens unknown (and for a place around, the roll) is known exactly. */
function partsOf(fit: Fit, gradient: Float64Array, withRoll: boolean): ExplainedQuantity['parts'] {
  let covariance = fit.covariance
  const parts: ExplainedQuantity['parts'] = []
  fit.unknowns.forEach((slot, k) => {
    const name = unknownNames[slot]
    const from = name === 'roll' && withRoll ? 'roll' : partOf[name]
    if (!from) return
    const before = quadraticForm(covariance, gradient)
    covariance = withKnown(covariance, k, fit.unknowns.length)
    const taken = Math.sqrt(Math.max(0, before - quadraticForm(covariance, gradient)))
    const same = parts.find((part) => part.from === from)
    if (same) same.sigma = Math.hypot(same.sigma, taken)
    else parts.push({ from, sigma: taken })
  })
  return [{ from: 'picks', sigma: Math.sqrt(quadraticForm(covariance, gradient)) }, ...parts]
}

function withKnown(covariance: Float64Array, j: number, n: number): Float64Array {
  const variance = covariance[j * n + j]
  if (!(variance > 0)) return covariance
  return covariance.map((value, i) => value - (covariance[Math.floor(i / n) * n + j] * covariance[j * n + (i % n)]) / variance)
}

function withRow(covariance: Float64Array, row: Float64Array): Float64Array {
  const n = row.length
  const product = new Float64Array(n)
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) product[i] += covariance[i * n + j] * row[j]
  let scale = 1
  for (let i = 0; i < n; i++) scale += row[i] * product[i]
  return covariance.map((value, i) => value - (product[Math.floor(i / n)] * product[i % n]) / scale)
}

/** Whitened rows of the points that each further handle would bring, where they are in view. */
function helpfulRows(journal: Journal, fit: Fit): { add: HelpfulHandle; points: number; rows: Float64Array[] }[] {
  const state = stateAt(baseOf(fit.camera, fit.surface), new Float64Array(unknownCount))
  return candidates(journal, fit).flatMap(({ add, observations }) => {
    const rows = observations.flatMap((observation) => {
      const measured = measure(state, observation, fit.contourSigns)
      return measured ? measured.rows.map((row) => Float64Array.from(fit.unknowns, (slot) => row[slot] / fit.pickSigmaPx)) : []
    })
    return rows.length > 0 ? [{ add, points: observations.length, rows }] : []
  })
}

const moreSidePoints = 3
const moreRingPoints = 5

function candidates(journal: Journal, fit: Fit): { add: HelpfulHandle; observations: Observation[] }[] {
  const [first, second] = expectedSides(fit, moreSidePoints)
  const sides: { add: HelpfulHandle; observations: Observation[] }[] = [
    { add: 'first-side', observations: first },
    { add: 'second-side', observations: second },
  ]
  if (!fit.slideKnown) return sides
  const points: { add: HelpfulHandle; observations: Observation[] }[] = []
  if (fit.rollKnown) {
    const holes = journal.oilHoles.flatMap((hole) => expectedPoint(fit, 'oilHole', hole.id, (hole.angleDeg * Math.PI) / 180, hole.axial))
    if (holes.length > 0) points.push({ add: 'oil-hole', observations: holes })
    const place = cameraPlace(fit.camera)
    points.push({
      add: 'witness-mark',
      observations: expectedPoint(fit, 'clock', '', Math.atan2(place[1], place[0]), fit.surface.width / 2),
    })
  }
  return [
    ...sides,
    ...(['front-fillet', 'rear-fillet'] as const).map((at): { add: HelpfulHandle; observations: Observation[] } => ({
      add: at === 'front-fillet' ? 'front-ring' : 'rear-ring',
      observations: expectedRing(fit, at, moreRingPoints),
    })),
    ...points,
  ]
}
