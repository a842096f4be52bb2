/** The rectangle of least area about a closed outline: one of its sides lies along an edge of the convex hull (Freeman and Shapira 1975). */
export type Flat = readonly [x: number, y: number]

export type LeastRectangle = {
  longest: number
  shortest: number
  /** Ends of its longer axis. */
  axis: [Flat, Flat]
}

export function leastRectangle(points: readonly Flat[]): LeastRectangle {
  const hull = convexHull(points)
  let best: (LeastRectangle & { area: number }) | null = null
  const edges = hull.length < 2 ? [[1, 0] as Flat] : hull.map((p, i) => edgeDirection(p, hull[(i + 1) % hull.length]))
  for (const [ux, uy] of edges) {
    let minA = Number.POSITIVE_INFINITY
    let maxA = Number.NEGATIVE_INFINITY
    let minB = Number.POSITIVE_INFINITY
    let maxB = Number.NEGATIVE_INFINITY
    for (const [x, y] of hull) {
      const a = x * ux + y * uy
      const b = y * ux - x * uy
      minA = Math.min(minA, a)
      maxA = Math.max(maxA, a)
      minB = Math.min(minB, b)
      maxB = Math.max(maxB, b)
    }
    const sideA = maxA - minA
    const sideB = maxB - minB
    const area = sideA * sideB
    if (best && area >= best.area) continue
    const place = (a: number, b: number): Flat => [a * ux - b * uy, a * uy + b * ux]
    const midA = (minA + maxA) / 2
    const midB = (minB + maxB) / 2
    const axis: [Flat, Flat] = sideA >= sideB ? [place(minA, midB), place(maxA, midB)] : [place(midA, minB), place(midA, maxB)]
    best = { area, longest: Math.max(sideA, sideB), shortest: Math.min(sideA, sideB), axis }
  }
  if (!best) throw new Error('an outline without points has no rectangle')
  return best
}

/** Andrew's monotone chain, counter-clockwise, without collinear points. */
function convexHull(points: readonly Flat[]): Flat[] {
  const sorted = [...points].sort((a, b) => a[0] - b[0] || a[1] - b[1])
  if (sorted.length < 3) return sorted
  const half = (ordered: readonly Flat[]): Flat[] => {
    const chain: Flat[] = []
    for (const p of ordered) {
      while (chain.length >= 2 && turn(chain[chain.length - 2], chain[chain.length - 1], p) <= 0) chain.pop()
      chain.push(p)
    }
    chain.pop()
    return chain
  }
  const hull = [...half(sorted), ...half([...sorted].reverse())]
  return hull.length > 0 ? hull : [sorted[0]]
}

function turn(o: Flat, a: Flat, b: Flat): number {
  return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
}

function edgeDirection(from: Flat, to: Flat): Flat {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  return length > 0 ? [(to[0] - from[0]) / length, (to[1] - from[1]) / length] : [1, 0]
}
