/**
 * Which turn about the shaft each photograph has, from what every pair says of every turn. Photographs grow together into clusters that hold
 * their turns to each other; what two clusters say of each other is the sum over all their pairs, so that several weak matches that
 * agree decide what none of them could, and a strong one that the others contradict does not.
 */
import { columnsBetween, type TurnEvidence } from './turn-evidence'

export type PairEvidence = { first: number; second: number; evidence: TurnEvidence }

export type ClusterSearch = {
  /** Columns of a whole turn; by how many of them pairs that agree may differ; nearer than `apart` a second place is the first. */
  width: number
  room: number
  apart: number
  /** By how much the best turn of two clusters must stand above all others together before they are joined. */
  leastMargin: number
}

/** Two clusters' best turn, and by which column the second is moved onto the first there. */
type Join = { first: number; second: number; column: number; margin: number }

/**
 * By which column each photograph's own angles are to be moved into the frame of the known ones; null where it is not tied to them. A
 * pair may be given more than once.
 */
export function clusteredTurns(known: readonly boolean[], pairs: readonly PairEvidence[], search: ClusterSearch): (number | null)[] {
  const { width, leastMargin } = search
  const said = byPair(pairs, search)
  const columns = new Int32Array(known.length)
  const all = [...known.keys()]
  let clusters = [all.filter((i) => known[i]), ...all.filter((i) => !known[i]).map((i) => [i])]
  const joinOf = (first: number, second: number): Join => {
    const sum = new Float64Array(width)
    for (const i of clusters[first]) {
      for (const j of clusters[second]) {
        const curve = said(i, j)
        if (!curve) continue
        // column x of j's own angles lies at x + columns[j] in its cluster
        const shift = width + ((columns[j] - columns[i]) % width)
        for (let k = 0; k < width; k++) sum[k] += curve[(k + shift) % width]
      }
    }
    return { first, second, ...summit(sum, search.apart) }
  }
  for (;;) {
    let best: Join | null = null
    for (let first = 0; first < clusters.length; first++) {
      for (let second = first + 1; second < clusters.length; second++) {
        const join = joinOf(first, second)
        if (join.margin >= leastMargin && (!best || join.margin > best.margin)) best = join
      }
    }
    if (!best) break
    const { first, second, column } = best
    for (const j of clusters[second]) columns[j] += column
    // the known ones stay first
    clusters[first] = [...clusters[first], ...clusters[second]]
    clusters = clusters.filter((_, i) => i !== second)
  }
  return all.map((i) => (clusters[0].includes(i) ? columns[i] : null))
}

/** What i and j say of the columns by which j is moved onto i; null where nothing was compared. */
function byPair(pairs: readonly PairEvidence[], { width, room }: ClusterSearch) {
  const curves = new Map<string, TurnEvidence>()
  const add = (i: number, j: number, curve: TurnEvidence) => {
    const before = curves.get(`${i} ${j}`)
    curves.set(`${i} ${j}`, before ? curve.map((value, k) => value + before[k]) : curve)
  }
  for (const { first, second, evidence } of pairs) {
    const wide = widened(evidence, room)
    add(first, second, wide)
    add(
      second,
      first,
      wide.map((_, k) => wide[(width - k) % width]),
    )
  }
  return (i: number, j: number): TurnEvidence | null => curves.get(`${i} ${j}`) ?? null
}

/** The greatest of each place and those within `room`. */
function widened(curve: TurnEvidence, room: number): TurnEvidence {
  const width = curve.length
  return curve.map((_, k) => {
    let most = Number.NEGATIVE_INFINITY
    for (let d = -room; d <= room; d++) most = Math.max(most, curve[(k + d + width) % width])
    return most
  })
}

/** The middle of the highest place, and how far it stands above all others together. */
function summit(sum: Float64Array, apart: number): { column: number; margin: number } {
  const width = sum.length
  let column = 0
  for (let k = 1; k < width; k++) if (sum[k] > sum[column]) column = k
  const peak = sum[column]
  let others = 0
  for (let k = 0; k < width; k++) if (Math.abs(columnsBetween(k, column, width)) > apart) others += Math.exp(sum[k] - peak)
  let end = column
  while (end - column < width - 1 && sum[(end + 1) % width] === peak) end++
  return { column: Math.round((column + end) / 2) % width, margin: -Math.log(others) }
}
