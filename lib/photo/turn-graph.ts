/**
 * Which turn about the shaft each photograph has, from matches between pairs and from the photographs whose roll is
 * known. Strong matches go first; a match that contradicts what stronger ones have settled is dropped. The closing
 * error around the journal is then shared by least squares over all that were kept.
 */
import { wrapped } from '../journal/wrapped-angle'
export type TurnMatch = {
  first: number
  second: number
  /** theta of the first frame less theta of the second for the same place, radians. */
  turn: number
  strength: number
}

export type TurnSolution<Match extends TurnMatch> = {
  /** To be added to a photograph's own angles, radians; null where nothing ties it to a known one. */
  turns: (number | null)[]
  kept: Match[]
  dropped: Match[]
}

/** `known[i]`: photograph i's own angles are the journal's. `tolerance`: closing error that is still agreement, radians. */
export function solveTurns<Match extends TurnMatch>(
  known: readonly boolean[],
  matches: readonly Match[],
  tolerance: number,
): TurnSolution<Match> {
  // node 0 is the journal's own frame; a known photograph is tied to it without error
  const turnToRoot = new Float64Array(known.length + 1)
  const root = Array.from({ length: known.length + 1 }, (_, i) => i)
  const find = (i: number): { root: number; turn: number } => {
    let turn = 0
    let at = i
    while (root[at] !== at) {
      turn += turnToRoot[at]
      at = root[at]
    }
    return { root: at, turn }
  }
  const join = (a: number, b: number, difference: number): boolean => {
    // frame a + difference = frame b's angles seen in a: offset(a) = offset(b) - difference
    const p = find(a)
    const q = find(b)
    if (p.root === q.root) return Math.abs(wrapped(p.turn - q.turn + difference)) <= tolerance
    root[p.root] = q.root
    turnToRoot[p.root] = q.turn - difference - p.turn
    return true
  }
  known.forEach((isKnown, i) => {
    if (isKnown) join(i + 1, 0, 0)
  })
  const kept: Match[] = []
  const dropped: Match[] = []
  for (const match of [...matches].sort((a, b) => b.strength - a.strength)) {
    const agrees = join(match.first + 1, match.second + 1, match.turn)
    ;(agrees ? kept : dropped).push(match)
  }
  const home = find(0)
  const turns = known.map((_, i) => {
    const at = find(i + 1)
    return at.root === home.root ? wrapped(at.turn - home.turn) : null
  })
  return { turns: shared(known, turns, kept), kept, dropped }
}

/** Gauss-Seidel on the kept matches: unknown photographs move to the mean of what their neighbours say. */
function shared(known: readonly boolean[], start: readonly (number | null)[], kept: readonly TurnMatch[]): (number | null)[] {
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
