/**
 * What a dragged point catches beneath it: the edge of a side, a ring that is an edge, the middle of an oil hole's mouth, a dark line. The direction across comes
 * from the fit where there is one, otherwise from the picture's own gradients (structure tensor).
 */
import { type Crossing, greyAt, lineIn, type Patch, profileAcross, stepIn, straightCrossings } from './snap-profile'

/** A ring that is a sharp edge, or seen under ultraviolet, is an `edge`; a tangent line in white light is none: see snap-ring.ts. */
export type SnapTo = 'edge' | 'hole' | 'line'

export type Snapped = { u: number; v: number }

/** An edge or a line counts from so far above what is usual beside it. */
const clearEdge = 2.4
const clearLine = 3
/** An edge is averaged along so many px of the patch to either side. */
const alongEdge = 12
const alongLine = 3

/** @param across unit direction across the curve, away from the journal's middle; null: unknown. @returns null where nothing clear lies within reach */
export function snapped(
  patch: Patch,
  at: { u: number; v: number },
  to: SnapTo,
  reachPx: number,
  across: readonly [number, number] | null,
): Snapped | null {
  if (to === 'hole') return middleOfDark(patch, at, reachPx)
  const direction = across ?? gradientDirection(patch, at, reachPx)
  if (!direction) return null
  const crossings = straightCrossings(patch, at, direction, patch.scale * (to === 'line' ? alongLine : alongEdge))
  const offset = offsetOn(patch, crossings, to, reachPx)
  return offset === null ? null : { u: at.u + offset * direction[0], v: at.v + offset * direction[1] }
}

function offsetOn(patch: Patch, crossings: Crossing[], to: 'edge' | 'line', reachPx: number): number | null {
  // what is usual beside an edge shows in a wide profile alone
  const profile = profileAcross(patch, crossings, Math.max(reachPx, 9 * patch.scale))
  if (!profile) return null
  const found = to === 'edge' ? stepIn(profile) : lineIn(profile)
  const least = to === 'edge' ? clearEdge : clearLine
  return found && found.clarity >= least && Math.abs(found.offsetPx) <= reachPx ? found.offsetPx : null
}

/** The direction of the strongest change of brightness about a place; null where all directions are alike. */
function gradientDirection(patch: Patch, at: { u: number; v: number }, reachPx: number): [number, number] | null {
  const step = patch.scale
  const n = Math.max(3, Math.ceil(reachPx / step))
  let [xx, xy, yy] = [0, 0, 0]
  for (let j = -n; j <= n; j++) {
    for (let i = -n; i <= n; i++) {
      const u = at.u + i * step
      const v = at.v + j * step
      const [left, right, above, below] = [
        greyAt(patch, u - step, v),
        greyAt(patch, u + step, v),
        greyAt(patch, u, v - step),
        greyAt(patch, u, v + step),
      ]
      if (left === null || right === null || above === null || below === null) continue
      const weight = Math.exp((-2 * (i * i + j * j)) / (n * n))
      xx += weight * (right - left) ** 2
      xy += weight * (right - left) * (below - above)
      yy += weight * (below - above) ** 2
    }
  }
  if (Math.hypot(xx - yy, 2 * xy) < 0.2 * (xx + yy) || xx + yy === 0) return null
  const angle = 0.5 * Math.atan2(2 * xy, xx - yy)
  return [Math.cos(angle), Math.sin(angle)]
}

/** The weighted middle of what is dark about a place: an oil hole's mouth. */
function middleOfDark(patch: Patch, at: { u: number; v: number }, reachPx: number): Snapped | null {
  const radius = 2 * reachPx
  let middle = at
  for (let round = 0; round < 5; round++) {
    const places: { u: number; v: number; grey: number }[] = []
    const step = Math.max(patch.scale, radius / 16)
    for (let dv = -radius; dv <= radius; dv += step) {
      for (let du = -radius; du <= radius; du += step) {
        if (du * du + dv * dv > radius * radius) continue
        const grey = greyAt(patch, middle.u + du, middle.v + dv)
        if (grey !== null) places.push({ u: middle.u + du, v: middle.v + dv, grey })
      }
    }
    const greys = places.map(({ grey }) => grey).sort((a, b) => a - b)
    const [dark, bright] = [greys[Math.floor(0.05 * greys.length)], greys[Math.floor(0.9 * greys.length)]]
    if (dark === undefined || bright === undefined || dark > 0.6 * bright) return null
    const limit = 0.5 * (dark + bright)
    let [weight, u, v] = [0, 0, 0]
    for (const place of places) {
      const w = Math.max(0, limit - place.grey)
      weight += w
      u += w * place.u
      v += w * place.v
    }
    if (weight === 0) return null
    middle = { u: u / weight, v: v / weight }
  }
  return Math.hypot(middle.u - at.u, middle.v - at.v) <= radius ? middle : null
}
