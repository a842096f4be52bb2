/** The paper of the printed strip as it is seen in a photograph: under it there may be marks that no picture shows. */
import type { PhotoPoint } from './camera'
import type { FitState } from './fit-state'
import { seenPlace, type StripPlacement, type StripSeat, wrappedPoint } from './printed-strip-wrap'

/** Steps round the journal, and how far beyond its edges the paper is taken to reach, mm. */
const steps = 240
const edgeMm = 0.2

/** One closed outline for each stretch that faces the camera. */
export function stripOutlines(seat: StripSeat, placement: StripPlacement, state: FitState): PhotoPoint[][] {
  const { length, height } = seat.design
  const outlines: PhotoPoint[][] = []
  let front: PhotoPoint[] = []
  let rear: PhotoPoint[] = []
  const close = () => {
    if (front.length > 1) outlines.push([...front, ...rear.reverse()])
    front = []
    rear = []
  }
  for (let i = 0; i <= steps; i++) {
    const x = (i / steps) * length
    const edges = [-edgeMm, height + edgeMm].map((y) => wrappedPoint(seat, placement, { x, y }).point)
    const [x0, y0] = edges[0]
    const facing = x0 * (state.place[0] - x0) + y0 * (state.place[1] - y0) > 0
    const seen = facing ? edges.map((edge) => seenPlace(state, edge)) : [null, null]
    if (seen[0] && seen[1]) {
      front.push({ u: seen[0].u, v: seen[0].v })
      rear.push({ u: seen[1].u, v: seen[1].v })
    } else close()
  }
  close()
  return outlines
}
