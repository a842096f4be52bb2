/**
 * Two photographs that stand 75 to 150 degrees apart about the shaft share a few degrees of the cylinder and a little more of the fillets, all seen
 * obliquely. For every turn that would put them so, windows of what they would share are compared. How well a window correlates by chance is read off its
 * own curve over all turns, so that a window without detail says little; what all windows say is added up.
 */
import { wrapped } from '../journal/wrapped-angle'
import type { Surface } from '../journal/surface'
import { type GlowStrip, type StripWindow, stripWindows, placeOfColumn, windowCorrelation } from './glow-strip'
import type { TiePatch } from './tie-points'
import type { TurnEvidence } from './turn-evidence'

export type FarMatch = { first: number; second: number; evidence: TurnEvidence }

export const farDeg = { nearest: 75, farthest: 150 }
/** Every so many columns a turn is looked at; and that many rows either way, since fits disagree along the axis. */
const columnStep = 2
const rowShifts = [-2, 0, 2]
const leastSeen = 0.6
/** Windows overlap by half, so that no detail is cut everywhere. */
const nextShare = 0.5
/** Fisher's transform of a correlation where the same metal is laid on itself: mean and deviation (seen on rendered photographs below seed 1000). */
const alike = { mean: 1.6, deviation: 0.5 }
const mostCorrelation = 0.995
/** How often a window of the same metal shows nothing alike, and what one window may say at most. */
const nothingAlike = 0.4
const mostOfWindow = 4
/** Windows differ by up to so many columns because of their fits. */
const roomColumns = 3
/** Too few turns tell nothing of chance. */
const leastTurns = 15
/** How well such a match is placed before the photographs are drawn together, one standard deviation, mm. */
const sigmaMm = { around: 0.5, along: 1 }
const mostTies = 8
/** How far a pair's own best place may lie from the turns that all pairs settled on, mm. */
const turnRoomMm = 0.9

/** What each wanted pair says of every turn, at `width` columns of it; null entries cannot be compared. Strips have `searchColumns` columns and are smooth. */
export function farMatches(
  surface: Surface,
  strips: readonly (GlowStrip | null)[],
  width: number,
  wanted: (first: number, second: number) => boolean,
): FarMatch[] {
  return strips.flatMap((a, first) =>
    strips.flatMap((b, second): FarMatch[] => {
      if (!a || !b || second <= first || !wanted(first, second)) return []
      const curve = farCurve(surface, a, b)
      // the curve has by how many columns the first's are moved, the evidence by how many the second's are
      const at = (k: number) => (a.columns - Math.round((k / width) * a.columns)) % a.columns
      return [{ first, second, evidence: Float64Array.from({ length: width }, (_, k) => curve[at(k)]) }]
    }),
  )
}

/** A few places that both see, the turn near the settled one that the pair itself likes best: they are all of one match and together tell no more than it. */
export function farTies(
  surface: Surface,
  a: GlowStrip,
  b: GlowStrip,
  evidence: TurnEvidence,
  settled: number,
): { turn: number; ties: TiePatch[] } {
  const width = evidence.length
  const middle = Math.round((settled / (2 * Math.PI)) * width)
  const room = Math.round((turnRoomMm * width) / (2 * Math.PI * surface.radius))
  const said = Array.from({ length: 2 * room + 1 }, (_, i) => evidence[(((middle + i - room) % width) + width) % width])
  // of equal places the one in the middle of them
  const top = Math.max(...said)
  const column = middle - room + Math.round((said.indexOf(top) + said.lastIndexOf(top)) / 2)
  const turn = wrapped((column / width) * 2 * Math.PI)
  const shift = Math.round((turn / (2 * Math.PI)) * a.columns)
  const shared: { theta: number; s: number }[] = []
  for (let y = 0; y < Math.min(a.height, b.height); y += 2) {
    for (let x = 0; x < a.width; x += 4) {
      const other = placeOfColumn(b, a.first + x - shift)
      if (other < 0 || other >= b.width || Number.isNaN(a.grey[y * a.width + x] + b.grey[y * b.width + other])) continue
      shared.push({ theta: ((a.first + x + 0.5) / a.columns) * 2 * Math.PI, s: ((y + 0.5) / a.height) * surface.totalS })
    }
  }
  const count = Math.min(mostTies, shared.length)
  const information: TiePatch['information'] = [1 / (count * sigmaMm.around ** 2), 0, 1 / (count * sigmaMm.along ** 2)]
  const ties = Array.from({ length: count }, (_, k): TiePatch => {
    const inFirst = shared[Math.floor(((k + 0.5) * shared.length) / count)]
    return { inFirst, inSecond: { ...inFirst, theta: inFirst.theta - turn }, correlation: 1, information }
  })
  return { turn, ties }
}

/** By the column d for which the second shows at x + d what the first shows at x; 0 where they would not stand far apart. */
function farCurve(surface: Surface, a: GlowStrip, b: GlowStrip): Float64Array {
  const { columns } = a
  const apart = (d: number) => {
    const deg = Math.abs(wrapped(((b.first + b.width / 2 - d - a.first - a.width / 2) / columns) * 2 * Math.PI)) * (180 / Math.PI)
    return deg >= farDeg.nearest && deg <= farDeg.farthest
  }
  const shifts = Array.from({ length: columns / columnStep }, (_, k) => k * columnStep).filter(apart)
  const curve = new Float64Array(columns)
  for (const window of stripWindows(surface, a, nextShare)) {
    const said = windowCurve(a, b, window, shifts)
    if (!said) continue
    for (let d = 0; d < columns; d++) {
      let most = Number.NEGATIVE_INFINITY
      for (let k = -roomColumns; k <= roomColumns; k++) most = Math.max(most, said[(d + k + columns) % columns])
      curve[d] += most
    }
  }
  return curve
}

/** What one window says of each column d, as the logarithm of a ratio of likelihoods; null where too few turns show it to both. */
function windowCurve(a: GlowStrip, b: GlowStrip, window: StripWindow, shifts: readonly number[]): Float64Array | null {
  const found: { d: number; z: number }[] = []
  for (const d of shifts) {
    const dx = placeOfColumn(b, a.first + window.x0 + d) - window.x0
    const best = Math.max(...rowShifts.map((dy) => windowCorrelation(a, b, window, dx, dy, leastSeen)))
    if (best > -1) found.push({ d, z: Math.atanh(Math.min(mostCorrelation, best)) })
  }
  if (found.length < leastTurns) return null
  const sorted = found.map(({ z }) => z).sort((p, q) => p - q)
  const at = (share: number) => sorted[Math.floor(share * sorted.length)]
  // one deviation of a normal one lies at 16 and 84 %
  const spread = Math.max(leastSpread, (at(0.84) - at(0.16)) / 2)
  const said = new Float64Array(a.columns)
  for (const { d, z } of found) {
    const same = -0.5 * (Math.min(0, z - alike.mean) / alike.deviation) ** 2 - Math.log(alike.deviation)
    const chance = Math.max(leastChance, -0.5 * ((z - at(0.5)) / spread) ** 2) - Math.log(spread)
    said[d] = Math.log(nothingAlike + (1 - nothingAlike) * Math.exp(Math.min(mostOfWindow, same - chance)))
  }
  return said
}

const leastSpread = 0.3
/** However far out, chance does it so often (logarithm). */
const leastChance = -4.5
