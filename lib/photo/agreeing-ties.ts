/**
 * Which of many ties tell one story: a picture laid a little wrongly on the map is off by a displacement that changes evenly over it,
 * so that three ties foretell all others (random sampling and consensus: M. Fischler and R. Bolles, Comm. ACM, 1981).
 */
export type Displacement = {
  /** Place and displacement on the map, mm around and along. */
  x: number
  y: number
  dx: number
  dy: number
}

const samples = 300
/** An even change greater than this, mm per mm, is no picture of the same steel. */
const mostChange = 0.35

/** Places in the list of those that agree within the room, mm; the same choice for the same list. */
export function agreeingTies(list: readonly Displacement[], roomMm: number): number[] {
  let best: number[] = []
  let state = 12345
  const draw = () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return Math.floor((state / 2 ** 32) * list.length)
  }
  for (let i = 0; i < samples && list.length >= 3; i++) {
    const model = evenChange(list[draw()], list[draw()], list[draw()])
    if (!model) continue
    const agree: number[] = []
    list.forEach((one, k) => {
      if (Math.hypot(one.dx - model.dx(one), one.dy - model.dy(one)) <= roomMm) agree.push(k)
    })
    if (agree.length > best.length) best = agree
  }
  return best
}

function evenChange(a: Displacement, b: Displacement, c: Displacement) {
  const determinant = (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)
  if (Math.abs(determinant) < leastTriangleMm2) return null
  const through = (fa: number, fb: number, fc: number) => {
    const byX = ((fb - fa) * (c.y - a.y) - (fc - fa) * (b.y - a.y)) / determinant
    const byY = ((fc - fa) * (b.x - a.x) - (fb - fa) * (c.x - a.x)) / determinant
    return Math.hypot(byX, byY) > mostChange ? null : (p: Displacement) => fa + byX * (p.x - a.x) + byY * (p.y - a.y)
  }
  const dx = through(a.dx, b.dx, c.dx)
  const dy = through(a.dy, b.dy, c.dy)
  return dx && dy && { dx, dy }
}

/** Twice the area of a triangle of ties that is wide enough to foretell others, mm^2. */
const leastTriangleMm2 = 12
