/**
 * Candidates against drawn lines, by length on the map: a piece of line is found where the other's line lies within 0.4 mm and 35 degrees of
 * its direction. Scores count neither way; fibres are traps. Pieces of truth that no photograph sees are left out. Shares nothing
 * with the product.
 */
export type TruthLine = {
  kind: string
  cls: string
  /** [x, y] in mm: around at the cylinder's radius, along the meridian. */
  points: [number, number][]
  seen: boolean[]
}
export type FoundLine = { points: [number, number][]; score: number }
type Piece = { x: number; y: number; angle: number; owner: number }

const stepMm = 0.05
const nearMm = 0.4
const leanRad = (35 * Math.PI) / 180

export type LengthFigures = {
  f1: number
  recall: number
  precision: number
  byClass: Record<string, { found: number; length: number }>
  /** Picks that drawing every line by hand takes, and with these candidates (accept or reject 1, trim 3, the rest by hand). */
  byHand: number
  withCandidates: number
  falseLength: { fibre: number; other: number }
}

export type CandidateShare = { right: number; neutral: number; fibre: number; length: number }

export function lengthFigures(truth: readonly TruthLine[], found: readonly FoundLine[], girth: number): LengthFigures {
  const pieces = truth.map((line, i) => piecesOf(line.points, i, line.seen))
  const wanted = truth.map(({ kind }) => kind === 'crack' || kind === 'craze')
  const foundPieces = found.map((line, i) => piecesOf(line.points, i))
  const foundGrid = gridOf(foundPieces.flat(), girth)
  const byClass: LengthFigures['byClass'] = {}
  let [hit, all, byHand, left] = [0, 0, 0, 0]
  truth.forEach((line, i) => {
    if (!wanted[i] || pieces[i].length === 0) return
    const matched = pieces[i].filter((piece) => nearest(foundGrid, piece, girth) !== null).length
    const cls = byClass[line.cls] ?? { found: 0, length: 0 }
    byClass[line.cls] = cls
    cls.found += matched * stepMm
    cls.length += pieces[i].length * stepMm
    hit += matched
    all += pieces[i].length
    const picks = thinnedCount(line.points, 0.15)
    byHand += picks
    left += picks * (1 - matched / pieces[i].length)
  })
  const shares = sharesOf(truth, found, girth)
  let [right, counted, handled, fibre, other] = [0, 0, 0, 0, 0]
  for (const share of shares) {
    const real = share.length - share.neutral
    right += share.right
    counted += real
    fibre += share.fibre
    other += real - share.right - share.fibre
    const good = (share.right + share.neutral) / Math.max(1e-9, share.length)
    handled += share.right / Math.max(1e-9, share.length) < 0.2 || good >= 0.8 ? 1 : 3
  }
  const recall = all > 0 ? hit / all : 1
  const precision = counted > 0 ? right / counted : 1
  return {
    f1: recall + precision > 0 ? (2 * recall * precision) / (recall + precision) : 0,
    recall,
    precision,
    byClass,
    byHand,
    withCandidates: handled + left,
    falseLength: { fibre, other },
  }
}

/** Of each candidate: length (mm), how much of it lies on a crack, on a score (neutral), on a fibre. */
export function sharesOf(truth: readonly TruthLine[], found: readonly FoundLine[], girth: number): CandidateShare[] {
  const grid = gridOf(
    truth.flatMap((line, i) => piecesOf(line.points, i)),
    girth,
  )
  return found.map((line, i) => {
    const share = { right: 0, neutral: 0, fibre: 0, length: 0 }
    for (const piece of piecesOf(line.points, i)) {
      share.length += stepMm
      const kinds = kindsNear(grid, piece, girth, truth)
      if (kinds.has('crack') || kinds.has('craze')) share.right += stepMm
      else if (kinds.has('score')) share.neutral += stepMm
      else if (kinds.has('fibre')) share.fibre += stepMm
    }
    return share
  })
}

type Grid = Map<number, Piece[]>
const cellMm = 0.5

function gridOf(pieces: readonly Piece[], girth: number): Grid {
  const grid: Grid = new Map()
  for (const piece of pieces) {
    const key = keyOf(mod(piece.x, girth), piece.y)
    const list = grid.get(key)
    if (list) list.push(piece)
    else grid.set(key, [piece])
  }
  return grid
}

function keyOf(x: number, y: number): number {
  return Math.floor(x / cellMm) * 100000 + Math.floor(y / cellMm) + 1000
}

function nearest(grid: Grid, piece: Piece, girth: number): Piece | null {
  let best: Piece | null = null
  let least = nearMm * nearMm
  forNear(grid, piece, girth, (other, square) => {
    if (square <= least && alike(other.angle, piece.angle)) {
      least = square
      best = other
    }
  })
  return best
}

function kindsNear(grid: Grid, piece: Piece, girth: number, truth: readonly TruthLine[]): Set<string> {
  const kinds = new Set<string>()
  forNear(grid, piece, girth, (other, square) => {
    if (square <= nearMm * nearMm && alike(other.angle, piece.angle)) kinds.add(truth[other.owner].kind)
  })
  return kinds
}

function forNear(grid: Grid, piece: Piece, girth: number, visit: (other: Piece, square: number) => void): void {
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      for (const other of grid.get(keyOf(mod(piece.x + dx * cellMm, girth), piece.y + dy * cellMm)) ?? []) {
        const off = other.x - piece.x
        const around = off - girth * Math.round(off / girth)
        visit(other, around * around + (other.y - piece.y) ** 2)
      }
    }
  }
}

function alike(a: number, b: number): boolean {
  const off = a - b
  return Math.abs(off - Math.PI * Math.round(off / Math.PI)) <= leanRad
}

/** The direction of a piece is that of half a mm of the line about it: a crack's own jags are finer. */
function piecesOf(points: readonly [number, number][], owner: number, seen?: readonly boolean[]): Piece[] {
  const dense: { x: number; y: number; seen: boolean }[] = []
  let rest = 0
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1], points[i]]
    const long = Math.hypot(b[0] - a[0], b[1] - a[1])
    for (let t = rest; t < long; t += stepMm) {
      dense.push({ x: a[0] + ((b[0] - a[0]) * t) / long, y: a[1] + ((b[1] - a[1]) * t) / long, seen: seen ? seen[i - 1] || seen[i] : true })
    }
    rest = Math.ceil((long - rest) / stepMm) * stepMm - (long - rest)
  }
  const half = 5
  return dense.flatMap((place, i) => {
    if (!place.seen) return []
    const a = dense[Math.max(0, i - half)]
    const b = dense[Math.min(dense.length - 1, i + half)]
    return [{ x: place.x, y: place.y, angle: Math.atan2(b.y - a.y, b.x - a.x), owner }]
  })
}

function thinnedCount(points: readonly [number, number][], mm: number): number {
  if (points.length < 3) return points.length
  const [a, b] = [points[0], points[points.length - 1]]
  const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1
  let [worst, at] = [0, 0]
  for (let i = 1; i < points.length - 1; i++) {
    const off = Math.abs((points[i][0] - a[0]) * (b[1] - a[1]) - (points[i][1] - a[1]) * (b[0] - a[0])) / long
    if (off > worst) [worst, at] = [off, i]
  }
  if (worst <= mm) return 2
  return thinnedCount(points.slice(0, at + 1), mm) + thinnedCount(points.slice(at), mm) - 1
}

function mod(x: number, girth: number): number {
  return x - girth * Math.floor(x / girth)
}
