/** A failed fit in words that say which handles to add. */
import { unreachable } from '../model/result'
import type { FitFailure } from './cylinder-fit'

export function failureText(failure: FitFailure): string {
  switch (failure.code) {
    case 'no-handles':
      return 'No handles yet: pick points on both sides of the journal and on a ring.'
    case 'too-few':
      return `Too few handles: ${failure.have} of the ${failure.need} measurements that a view needs. ${whatToAdd(failure.sides, failure.rings)}`
    case 'degenerate':
      return `These handles do not fix the view. ${whatToAdd(failure.sides, failure.rings)}`
    case 'contradictory':
      return 'No view of this journal fits these handles. Look whether both sides, the rings and the oil hole are picked where their names say, and whether the sizes are right.'
    default:
      return unreachable(failure)
  }
}

function whatToAdd(sides: number, rings: number): string {
  if (sides === 0) return 'Add three points or more on each side of the journal, and on a ring.'
  if (sides === 1 && rings < 2) return 'Add points on the other side, or on both rings.'
  if (rings === 0) return 'Add five points along a ring where a fillet begins.'
  return 'Spread the points: both sides over their whole length, each ring over its whole visible arc.'
}
