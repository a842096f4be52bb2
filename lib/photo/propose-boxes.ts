/**
 * The first, coarse look for a journal: pairs of nearly parallel edges, as far apart and as long as the two visible sides of a cylinder of
 * the given proportions, near the middle of the picture. Most of what it finds are webs, neighbours and the bench; it only must not
 * miss the journal. Sums along every line come from one running sum for each direction.
 */
import { type ColourPlanes, colourVariance, type EdgeField, huePlane } from './propose-planes'

/** In px of the field: the middle, the direction along the axis, the distance between the sides. */
export type Box = { x: number; y: number; along: number; across: number; score: number }

const directions = 45
/** How much the sides may turn towards each other, in steps of direction to either side. */
const closings = [0, -1, 1, -2, 2]
const stepPx = 2.5
const acrossStep = 1.07
/** How far from the middle of the picture the journal's middle is looked for, as a share of width and height. */
const reach = 0.2

/**
 * `lengthOverDiameter`: of the cylinder between its tangent lines. Best first; neighbours of a better one are left out.
 * @param ultraviolet whether the ends of a journal glow
 */
export function sideBoxes(edges: EdgeField, colours: ColourPlanes, lengthOverDiameter: number, most: number, ultraviolet: boolean): Box[] {
  const sums = Array.from({ length: directions }, (_, k) => edgeSums(edges, (k * Math.PI) / directions))
  const shorter = Math.min(edges.width, edges.height)
  const change = colourChange(colours)
  const glow = ultraviolet ? endGlow(colours, lengthOverDiameter) : null
  const least = glow ? 1 : leastEdges
  const best = new Map<number, Box>()
  let size = 0
  for (let across = 0.27 * shorter; across < 0.9 * shorter; across *= acrossStep, size++) {
    const half = Math.max(3, 0.5 * 0.85 * lengthOverDiameter * across)
    const cell = Math.max(stepPx, 0.08 * across)
    for (let k = 0; k < directions; k++) {
      const along = (k * Math.PI) / directions
      const [alongX, alongY] = [Math.cos(along), Math.sin(along)]
      const ox = -0.5 * across * alongY
      const oy = 0.5 * across * alongX
      const end = 0.5 * lengthOverDiameter * across + beyondEnd * across
      const endX = end * alongX
      const endY = end * alongY
      for (let y = edges.height * (0.5 - reach); y <= edges.height * (0.5 + reach); y += stepPx) {
        for (let x = edges.width * (0.5 - reach); x <= edges.width * (0.5 + reach); x += stepPx) {
          const ends = glow ? glow(k, x, y, across * alongX, across * alongY) : 0
          if (glow && ends < leastGlow) continue
          // a side may be hidden, or hardly show under ultraviolet; then what lies beyond the ends and the sides must look different
          const middle = change.at(x, y)
          const aside =
            ends +
            0.2 * change.from(middle, x + endX, y + endY) +
            0.2 * change.from(middle, x - endX, y - endY) +
            0.1 * change.from(middle, x + 1.35 * ox, y + 1.35 * oy) +
            0.1 * change.from(middle, x - 1.35 * ox, y - 1.35 * oy) -
            0.15 * change.from(middle, x + 0.4 * endX, y + 0.4 * endY) -
            0.15 * change.from(middle, x - 0.4 * endX, y - 0.4 * endY)
          let score = 0
          for (const c of closings) {
            const one = meanAlong(sums[(k + c + directions) % directions], x + ox, y + oy, half)
            const two = meanAlong(sums[(k - c + directions) % directions], x - ox, y - oy, half)
            const sum = one < two ? 0.6 * one + 0.4 * two : 0.4 * one + 0.6 * two
            score = Math.max(score, sum)
            // sides that close a little more or less show in part as parallel ones
            if (c === 0 && score + aside + closingGain < least) break
          }
          score += aside
          if (score < least) continue
          const key = (((size >> 1) * directions + k) * 256 + Math.floor(y / cell)) * 256 + Math.floor(x / cell)
          const before = best.get(key)
          if (!before || before.score < score) best.set(key, { x, y, along, across, score })
        }
      }
    }
  }
  return [...best.values()].sort((p, q) => q.score - p.score).slice(0, most)
}

/** How much more of an edge the best closing may show than none. */
const closingGain = 0.3
/** What edges and changes of colour, and the glow of the ends, must reach. */
const leastEdges = 0.8
const leastGlow = 0.3
const leastOfEnd = 0.1

/** How much more both ends of a box glow than what lies between them, at most 1.2. */
function endGlow(colours: ColourPlanes, lengthOverDiameter: number) {
  const hue = huePlane(colours)
  const sorted = hue.slice().sort()
  const [low, high] = [sorted[Math.floor(0.1 * sorted.length)], sorted[Math.floor(0.9 * sorted.length)]]
  const glow = hue.map((value) => Math.max(0, Math.min(1, (value - low) / Math.max(leastHueRange, high - low))))
  const sums = Array.from({ length: directions }, (_, k) => lineSums(glow, colours.width, colours.height, (k / directions + 0.5) * Math.PI))
  const end = 0.5 * lengthOverDiameter + beyondEnd
  const inner = 0.35 * lengthOverDiameter
  return (k: number, x: number, y: number, alongX: number, alongY: number): number => {
    const half = 0.32 * Math.hypot(alongX, alongY)
    // most places fall through at once
    const middle = meanAlong(sums[k], x, y, half)
    if (middle > 0.6) return 0
    const front = meanAlong(sums[k], x - end * alongX, y - end * alongY, half)
    if (front < middle + leastOfEnd) return 0
    const rear = meanAlong(sums[k], x + end * alongX, y + end * alongY, half)
    if (rear < middle + leastOfEnd) return 0
    const one = front - Math.max(middle, meanAlong(sums[k], x - inner * alongX, y - inner * alongY, half))
    const two = rear - Math.max(middle, meanAlong(sums[k], x + inner * alongX, y + inner * alongY, half))
    return one < two ? 0.8 * one + 0.4 * two : 0.4 * one + 0.8 * two
  }
}

/** Beyond a tangent line lies the fillet, then the web: so far in distances between the sides. */
const beyondEnd = 0.17
const leastHueRange = 0.08

/** How different two places look, 0 to 1. */
function colourChange(planes: ColourPlanes) {
  const { width, height, red, green, blue } = planes
  const usual = colourVariance(planes) / 4
  const at = (x: number, y: number) => (x >= 0 && y >= 0 && x < width && y < height ? (y | 0) * width + (x | 0) : -1)
  const from = (a: number, x: number, y: number) => {
    const b = at(x, y)
    if (b < 0) return 0
    const square = (red[a] - red[b]) ** 2 + (green[a] - green[b]) ** 2 + (blue[a] - blue[b]) ** 2
    return square / (square + usual)
  }
  return { at, from }
}

type LineSums = { c: number; s: number; size: number; middleX: number; middleY: number; rows: Float32Array }

/** Running sums along one direction, in a frame turned about the picture's middle. */
function lineSums(plane: Float32Array, width: number, height: number, along: number): LineSums {
  const size = Math.ceil(Math.hypot(width, height)) | 1
  const stride = size + 1
  const rows = new Float32Array(stride * size)
  const c = Math.cos(along)
  const s = Math.sin(along)
  for (let q = 0; q < size; q++) {
    let sum = 0
    for (let p = 0; p < size; p++) {
      const x = (width / 2 + (p - size / 2) * c - (q - size / 2) * s) | 0
      const y = (height / 2 + (p - size / 2) * s + (q - size / 2) * c) | 0
      if (x > 0 && y > 0 && x < width && y < height) sum += plane[y * width + x]
      rows[q * stride + p + 1] = sum
    }
  }
  return { c, s, size, middleX: width / 2, middleY: height / 2, rows }
}

/** Of what is an edge along the direction: one may lie a pixel beside the line that is asked for. */
function edgeSums(edges: EdgeField, along: number): LineSums {
  const { cos, sin, width, height } = edges
  const c2 = -Math.cos(2 * along)
  const s2 = -Math.sin(2 * along)
  const strength = new Float32Array(cos.length)
  for (let i = 0; i < strength.length; i++) strength[i] = Math.max(0, cos[i] * c2 + sin[i] * s2)
  const sums = lineSums(strength, width, height, along)
  const { rows, size } = sums
  const stride = size + 1
  const wide = new Float32Array(rows.length)
  for (let i = stride; i < stride * (size - 1); i++) wide[i] = (rows[i - stride] + rows[i] + rows[i + stride]) / 2.2
  return { ...sums, rows: wide }
}

function meanAlong({ c, s, size, middleX, middleY, rows }: LineSums, x: number, y: number, half: number): number {
  const dx = x - middleX
  const dy = y - middleY
  const p = size / 2 + dx * c + dy * s
  const q = (size / 2 - dx * s + dy * c) | 0
  const from = (p - half) | 0
  const to = (p + half) | 0
  if (q < 0 || q >= size || from < 0 || to >= size) return 0
  const row = q * (size + 1)
  return (rows[row + to] - rows[row + from]) / (to - from)
}
