/** The shape of a candidate's path and how its darkness runs along it: what tells a crack from a fibre. Places of the grid. */
type Point = { x: number; y: number }

/** How far the path strays over one to two mm: a fibre bends evenly, a crack goes where the steel lets it; its steps of the grid are smoothed away. */
export function wanderOf(points: readonly Point[], normals: readonly Point[]): number {
  const fine = smoothedPath(points, 2)
  const coarse = smoothedPath(points, 9)
  return mean(fine.map((p, i) => Math.abs((p.x - coarse[i].x) * normals[i].x + (p.y - coarse[i].y) * normals[i].y)))
}

/** How unevenly dark the line is from one 0.6 mm to the next, and its ends beside its middle: a crack's darkness comes and goes and tapers off. */
export function darknessAlong(contrasts: readonly number[]): [spread: number, ends: number] {
  const window = 5
  const pieces: number[] = []
  for (let i = 0; i + window <= contrasts.length; i += window) pieces.push(mean(contrasts.slice(i, i + window)))
  if (pieces.length < 2) return [0, 1]
  const middle = mean(pieces)
  const ends = (pieces[0] + pieces[pieces.length - 1]) / 2
  return [deviation(pieces) / Math.max(1e-4, Math.abs(middle)), ends / Math.max(1e-4, Math.abs(middle))]
}

export function smoothedPath(points: readonly Point[], sigma: number): Point[] {
  const half = Math.ceil(2 * sigma)
  return points.map((_, i) => {
    let [x, y, weight] = [0, 0, 0]
    const reach = Math.min(half, i, points.length - 1 - i)
    for (let k = -reach; k <= reach; k++) {
      const w = Math.exp((-k * k) / (2 * sigma * sigma))
      x += w * points[i + k].x
      y += w * points[i + k].y
      weight += w
    }
    return { x: x / weight, y: y / weight }
  })
}

export function normalsOf(points: readonly Point[]): Point[] {
  return points.map((_, i) => {
    const a = points[Math.max(0, i - 1)]
    const b = points[Math.min(points.length - 1, i + 1)]
    const long = Math.hypot(b.x - a.x, b.y - a.y) || 1
    return { x: -(b.y - a.y) / long, y: (b.x - a.x) / long }
  })
}

export function lengthOf(points: readonly Point[]): number {
  let sum = 0
  for (let i = 1; i < points.length; i++) sum += Math.hypot(points[i].x - points[i - 1].x, points[i].y - points[i - 1].y)
  return sum
}

export function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / Math.max(1, values.length)
}

export function deviation(values: readonly number[]): number {
  const middle = mean(values)
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)))
}
