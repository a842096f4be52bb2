/** Fewer vertices for a line that was followed place by place: none that is left out lies further off than `most` (Douglas and Peucker 1973). */
export function thinnedPath<Place extends { x: number; y: number }>(path: readonly Place[], most: number): Place[] {
  if (path.length < 3) return [...path]
  const keep = new Uint8Array(path.length)
  keep[0] = 1
  keep[path.length - 1] = 1
  const open: [number, number][] = [[0, path.length - 1]]
  for (let span = open.pop(); span; span = open.pop()) {
    const [from, to] = span
    let worst = most
    let at = -1
    for (let i = from + 1; i < to; i++) {
      const off = offSegment(path[i], path[from], path[to])
      if (off > worst) {
        worst = off
        at = i
      }
    }
    if (at < 0) continue
    keep[at] = 1
    open.push([from, at], [at, to])
  }
  return path.filter((_, i) => keep[i] === 1)
}

function offSegment(p: { x: number; y: number }, a: { x: number; y: number }, b: { x: number; y: number }): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y]
  const square = dx * dx + dy * dy
  const t = square > 0 ? Math.min(1, Math.max(0, ((p.x - a.x) * dx + (p.y - a.y) * dy) / square)) : 0
  return Math.hypot(p.x - a.x - t * dx, p.y - a.y - t * dy)
}
