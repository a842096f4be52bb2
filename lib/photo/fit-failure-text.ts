/** A failed fit in words that say which handles to add. */
import { unreachable } from '../model/result'
import type { FitFailure, NotPlaced } from './cylinder-fit'

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
    case 'not-placed':
      return `${failureText(failure.own)} ${notPlacedText[failure.why]}`
    case 'strip':
      return failure.warning.text
    default:
      return unreachable(failure)
  }
}

/** For a photograph that was looked for on the placed ones. */
export const notPlacedText: Record<NotPlaced, string> = {
  'too-little-alike':
    'Beside the other photographs of the journal it shows too little alike to be placed by them: pick an oil hole, a witness mark or a ring in it, or take one picture half-way in between.',
  ambiguous:
    'Beside the other photographs of the journal two places suit it: pick an oil hole, a witness mark or a ring in it, or take one picture half-way in between.',
}

function whatToAdd(sides: number, rings: number): string {
  if (sides === 0) return 'Add three points or more on each side of the journal, and on a ring.'
  if (sides === 1 && rings < 2) return 'Add points on the other side, or on both rings.'
  if (rings === 0) return 'Add five points along a ring where a fillet begins.'
  return 'Spread the points: both sides over their whole length, each ring over its whole visible arc.'
}
