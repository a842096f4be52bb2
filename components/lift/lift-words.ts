/** What a flat lift says to a person: what to tap next, what is missing, what contradicts, by how much. */
import type { Units } from '@/lib/model/inspection'
import type { Lift } from '@/lib/model/lift'
import { formatLength } from '@/lib/model/units'
import type { LiftFailure, LiftFit, LiftResidual } from '@/lib/photo/flat-lift'
import type { LiftMarkFailure } from '@/lib/photo/lift-mark'
import type { LiftPointRef } from './lift-tool'

export type LiftStepKey = 'scale' | 'front' | 'rear' | 'witness' | 'mark'
export type LiftStep = { key: LiftStepKey; name: string; ask: string; standing: 'empty' | 'begun' | 'enough' | 'look-again' }

const standingWord = { empty: 'to do', begun: 'more', enough: 'there', 'look-again': 'look again' }

export function liftSteps(lift: Lift, fit: LiftFit | null): LiftStep[] {
  const known = lift.scalePoints.filter(({ xMm, yMm }) => xMm !== null && yMm !== null).length
  const off = fit && !fit.residualsWithinRange ? worstResidual(fit).of : null
  const standing = (of: LiftResidual['of'], count: number, enough: number) =>
    off === of ? ('look-again' as const) : count === 0 ? ('empty' as const) : count < enough ? ('begun' as const) : ('enough' as const)
  const { front, rear, witness } = lift
  return [
    {
      key: 'scale',
      name: 'Known points',
      ask: 'Tap four or more points whose place you know, on the rule or on the lift’s own grid, well apart and not on one line. Then type their distances.',
      standing: standing('scale', lift.scalePoints.length === 0 ? 0 : Math.max(1, known), 4),
    },
    {
      key: 'front',
      name: 'Front edge',
      ask: 'Tap two or more points along the front edge, well apart.',
      standing: standing('front', front.pixels.length, 2),
    },
    {
      key: 'rear',
      name: 'Rear edge',
      ask: 'Tap two or more points along the rear edge, well apart.',
      standing: standing('rear', rear.pixels.length, 2),
    },
    {
      key: 'witness',
      name: 'Witness line',
      ask: 'Tap points along the witness line, or any line along the shaft whose angle you know.',
      standing: standing('witness', witness.pixels.length, 1),
    },
    {
      key: 'mark',
      name: 'Marks',
      ask: 'Tap along a mark, point by point, and keep it: it becomes a mark of the map.',
      standing: fit ? 'enough' : 'empty',
    },
  ]
}

export function standingWords({ key, standing }: LiftStep, fitted: boolean): string {
  if (key === 'mark') return fitted ? 'draw' : 'later'
  return standingWord[standing]
}

export function liftFailureSentence(failure: LiftFailure): string {
  switch (failure.code) {
    case 'few-points':
      return `${failure.have} of ${failure.need} points have a place yet. Tap ${failure.need} or more and type where they lie.`
    case 'points-on-a-line':
      return 'The points lie on one line, or three of four do: that leaves the picture’s slant open. Tap points that span an area, and look at the distances typed.'
    case 'edges-missing':
      return `Points on the front edge: ${failure.front}, on the rear edge: ${failure.rear}. Both edges need points, one of them two.`
    case 'witness-missing':
      return 'No point on the witness line yet: without it nothing tells the angle.'
    case 'edges-one-line':
      return 'Front and rear edge lie on one line, or the points of both are too close together. Tap them where the lift’s edges are.'
    case 'contradictory':
      return 'These points fit no flat picture. Look again at the distances typed and at which point is which.'
  }
}

/** Where a fitted lift stands: how well, or what contradicts. */
export function liftFitSentence(fit: LiftFit, units: Units): string {
  if (fit.residualsWithinRange) {
    const scale = fit.residuals.filter(({ of }) => of === 'scale')
    if (scale.length === 4) return 'It lies on the map. Four known points cannot check each other: a fifth would find a wrong distance.'
    return `It lies on the map. The known points agree to ${formatLength(Math.max(...scale.map(({ mm }) => mm)), units)}.`
  }
  const worst = worstResidual(fit)
  return `Points contradict each other; look again at ${pointName({ list: worst.of, index: worst.index })}: it lies ${formatLength(worst.mm, units)} off. Marks are kept only once that is mended.`
}

export function liftMarkFailureSentence(failure: LiftMarkFailure, units: Units): string {
  switch (failure.code) {
    case 'contradicts':
      return 'Points of this lift contradict each other; mend that first. Your drawing stays.'
    case 'beyond-horizon':
      return `Point ${failure.index + 1} lies beyond the picture’s horizon. Move it onto the lift.`
    case 'past-tangent-line':
      return `Point ${failure.index + 1} lies ${formatLength(failure.byMm, units)} past the ${failure.end} tangent line. A lift shows the cylinder alone: end the mark at the tangent line, and write down that you saw it enter the fillet.`
  }
}

function worstResidual(fit: LiftFit): LiftResidual {
  return [...fit.residuals].sort((a, b) => b.sigmas - a.sigmas)[0]
}

/** "known point 3", "point 1 of the front edge". */
export function pointName({ list, index }: LiftPointRef): string {
  switch (list) {
    case 'scale':
      return `known point ${index + 1}`
    case 'witness':
      return `point ${index + 1} of the witness line`
    case 'mark':
      return `point ${index + 1} of the mark being drawn`
    default:
      return `point ${index + 1} of the ${list} edge`
  }
}
