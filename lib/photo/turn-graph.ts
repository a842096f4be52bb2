/** The closing error around the journal, shared by least squares over all pairs that match. */
import { wrapped } from '../journal/wrapped-angle'

export type TurnMatch = {
  first: number
  second: number
  /** theta of the first frame less theta of the second for the same place, radians. */
  turn: number
  strength: number
}

/** Gauss-Seidel on the kept matches: unknown photographs move to the mean of what their neighbours say. */
export function sharedTurns(known: readonly boolean[], start: readonly (number | null)[], kept: readonly TurnMatch[]): (number | null)[] {
  const turns = [...start]
  for (let round = 0; round < 200; round++) {
    let moved = 0
    turns.forEach((turn, i) => {
      if (turn === null || known[i]) return
      let sum = 0
      let weight = 0
      for (const match of kept) {
        const other = match.first === i ? match.second : match.second === i ? match.first : -1
        const from = other < 0 ? null : turns[other]
        if (from === null) continue
        const says = match.first === i ? from - match.turn : from + match.turn
        sum += match.strength * wrapped(says - turn)
        weight += match.strength
      }
      if (weight > 0) {
        turns[i] = turn + sum / weight
        moved = Math.max(moved, Math.abs(sum / weight))
      }
    })
    if (moved < 1e-12) break
  }
  return turns
}
