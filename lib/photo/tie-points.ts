/**
 * Places that two photographs show alike. Patches of one strip are looked for in the other within a small window; the
 * best place is found to a fraction of a column by a parabola through the correlation, and how well it is known in each
 * direction follows from the patch's gradients (structure tensor) and from what the match leaves over.
 */
import type { MapPoint, Surface } from '../journal/surface'
import type { TextureStrip } from './texture'

export type TiePatch = {
  /** The same place as each photograph's own frame has it. */
  inFirst: MapPoint
  inSecond: MapPoint
  correlation: number
  /** Information matrix of the difference (around, along), mm^-2: xx, xy, yy. */
  information: [number, number, number]
}

export type TieSearch = {
  /** Half the side of a patch, and how far patches lie apart, mm. */
  patchMm: number
  spacingMm: number
  /** How far a patch is looked for either way, mm. */
  searchMm: number
  leastCorrelation: number
}

export const fineTies: TieSearch = { patchMm: 3.5, spacingMm: 6, searchMm: 0.7, leastCorrelation: 0.55 }

const leastSeenShare = 0.85
const roughStep = 2
/** In the place of a correlation where too little is seen. */
const unseen = -1
/** By how much the rough search may miss the summit. */
const roughLoss = 0.15
/** The finest difference that two real photographs let through, mm. */
const floorMm = 0.012
/** Neighbouring values of a strip are no independent witnesses: each counts for the area of its smoothing. */
const witnessMm = 0.9

/**
 * Both strips have the same size. `columns` and `rows`: how far the second is moved onto the first, as
 * strip-correlation.ts has it at this size.
 */
export function tiePatches(
  surface: Surface,
  first: TextureStrip,
  second: TextureStrip,
  columns: number,
  rows: number,
  search: TieSearch = fineTies,
): TiePatch[] {
  const { width, height, pxPerMm } = first
  const half = Math.max(3, Math.round(search.patchMm * pxPerMm))
  const reach = Math.max(2, Math.round(search.searchMm * pxPerMm))
  const spacing = Math.max(1, Math.round(search.spacingMm * pxPerMm))
  const found: TiePatch[] = []
  for (let y = half + reach; y < height - half - reach; y += spacing) {
    for (let x = 0; x < width; x += spacing) {
      const match = bestPlace(first, second, x, y, columns, rows, half, reach, search.leastCorrelation)
      if (!match) continue
      const place = (column: number, row: number): MapPoint => ({
        theta: ((column + 0.5) / width) * 2 * Math.PI,
        s: surface.totalS * (1 - (row + 0.5) / height),
      })
      found.push({
        inFirst: place(x, y),
        inSecond: place(x - columns + match.dx, y - rows + match.dy),
        correlation: match.correlation,
        information: match.information,
      })
    }
  }
  return found
}

/** How many patches both strips show well enough to be compared where they are laid, alike or not. */
export function comparablePatches(
  first: TextureStrip,
  second: TextureStrip,
  columns: number,
  rows: number,
  search: TieSearch = fineTies,
): number {
  const { width, height, pxPerMm, mask } = first
  const half = Math.max(3, Math.round(search.patchMm * pxPerMm))
  const reach = Math.max(2, Math.round(search.searchMm * pxPerMm))
  const spacing = Math.max(1, Math.round(search.spacingMm * pxPerMm))
  let count = 0
  for (let y = half + reach; y < height - half - reach; y += spacing) {
    for (let x = 0; x < width; x += spacing) {
      if (mask[y * width + x] && correlationAt(first, second, x, y, x - columns, y - rows, half, roughStep) !== unseen) count++
    }
  }
  return count
}

type Match = { dx: number; dy: number; correlation: number; information: [number, number, number] }

function bestPlace(
  a: TextureStrip,
  b: TextureStrip,
  x: number,
  y: number,
  columns: number,
  rows: number,
  half: number,
  reach: number,
  leastCorrelation: number,
): Match | null {
  const { width, pxPerMm } = a
  if (!a.mask[y * width + x] || !seenAbout(b, x - columns, y - rows, half)) return null
  const size = 2 * reach + 1
  const scores = new Float64Array(size * size).fill(unseen)
  const scoreAt = (dx: number, dy: number, stride: number) => {
    const at = (dy + reach) * size + dx + reach
    scores[at] = correlationAt(a, b, x, y, x - columns + dx, y - rows + dy, half, stride)
    return at
  }
  // a strip is smooth over more than two places: every second one finds the summit's surroundings
  let rough = -1
  for (let dy = -reach; dy <= reach; dy += roughStep) {
    for (let dx = -reach; dx <= reach; dx += roughStep) {
      const at = scoreAt(dx, dy, roughStep)
      if (rough < 0 || scores[at] > scores[rough]) rough = at
    }
  }
  if (!(scores[rough] >= leastCorrelation - roughLoss)) return null
  scores.fill(unseen)
  let best = scoreAt((rough % size) - reach, Math.floor(rough / size) - reach, 1)
  for (let climbing = true; climbing; ) {
    climbing = false
    const bx = best % size
    const by = Math.floor(best / size)
    if (bx === 0 || by === 0 || bx === size - 1 || by === size - 1) return null
    for (let dy = by - 1; dy <= by + 1; dy++) {
      for (let dx = bx - 1; dx <= bx + 1; dx++) {
        const at = dy * size + dx
        if (scores[at] === unseen) scoreAt(dx - reach, dy - reach, 1)
        if (scores[at] > scores[best]) {
          best = at
          climbing = true
        }
      }
    }
  }
  const bx = best % size
  const by = Math.floor(best / size)
  if (!(scores[best] >= leastCorrelation)) return null
  const sub = (before: number, at: number, after: number) => {
    const bend = before - 2 * at + after
    return bend < 0 ? Math.max(-0.5, Math.min(0.5, (0.5 * (before - after)) / bend)) : 0
  }
  const dx = bx - reach + sub(scores[best - 1], scores[best], scores[best + 1])
  const dy = by - reach + sub(scores[best - size], scores[best], scores[best + size])
  const { xx, xy, yy, energy, count } = structure(a, x, y, half)
  // what the match leaves over is noise of both pictures; gradients are per px, wanted per mm
  const noise = Math.max(0.02, 1 - scores[best] ** 2) * (energy / count)
  const perMm = pxPerMm * pxPerMm
  const witnesses = Math.max(1, (witnessMm * pxPerMm) ** 2)
  const k = perMm / (noise * witnesses)
  return { dx, dy, correlation: scores[best], information: withFloor([xx * k, xy * k, yy * k]) }
}

/** Whether anything of a patch is seen: its middle, or half-way from there to a corner. */
function seenAbout({ width, height, mask }: TextureStrip, x: number, y: number, half: number): boolean {
  const step = half >> 1
  return [0, -step, step].some((dy) =>
    (dy === 0 ? [0] : [-step, step]).some(
      (dx) => y + dy >= 0 && y + dy < height && mask[(y + dy) * width + ((x + dx + 2 * width) % width)] === 1,
    ),
  )
}

/** Normalised correlation of two patches by every `stride`-th place; `unseen` where too little of one is seen. */
function correlationAt(
  a: TextureStrip,
  b: TextureStrip,
  xa: number,
  ya: number,
  xb: number,
  yb: number,
  half: number,
  stride: number,
): number {
  const { width } = a
  let places = 0
  let ab = 0
  let aa = 0
  let bb = 0
  let seen = 0
  for (let j = -half; j <= half; j += stride) {
    const rowA = (ya + j) * width
    const rowB = (yb + j) * width
    for (let i = -half; i <= half; i += stride) {
      places++
      const p = rowA + ((xa + i + 2 * width) % width)
      const q = rowB + ((xb + i + 2 * width) % width)
      if (!a.mask[p] || !b.mask[q]) continue
      const u = a.value[p]
      const v = b.value[q]
      ab += u * v
      aa += u * u
      bb += v * v
      seen++
    }
  }
  return seen < leastSeenShare * places ? unseen : ab / Math.sqrt(aa * bb + 1e-9)
}

function structure(a: TextureStrip, x: number, y: number, half: number) {
  const { width, value, mask } = a
  const sum = { xx: 0, xy: 0, yy: 0, energy: 0, count: 0 }
  for (let j = -half + 1; j < half; j++) {
    for (let i = -half + 1; i < half; i++) {
      const column = (x + i + 2 * width) % width
      const p = (y + j) * width + column
      const left = (y + j) * width + ((column + width - 1) % width)
      const right = (y + j) * width + ((column + 1) % width)
      if (!mask[p] || !mask[left] || !mask[right] || !mask[p - width] || !mask[p + width]) continue
      const gx = (value[right] - value[left]) / 2
      // rows run against s
      const gy = (value[p - width] - value[p + width]) / 2
      sum.xx += gx * gx
      sum.xy += gx * gy
      sum.yy += gy * gy
      sum.energy += value[p] * value[p]
      sum.count++
    }
  }
  return sum
}

/** (M^-1 + floor^2 I)^-1 for a symmetric 2 x 2 matrix. */
function withFloor([xx, xy, yy]: [number, number, number]): [number, number, number] {
  const f = floorMm * floorMm
  const determinant = xx * yy - xy * xy
  if (!(determinant > 0)) return [0, 0, 0]
  const a = yy / determinant + f
  const b = -xy / determinant
  const c = xx / determinant + f
  const d = a * c - b * b
  return [c / d, -b / d, a / d]
}
