/**
 * The first, coarse look for a journal: pairs of nearly parallel edges, as far apart and as long as the two visible sides of a cylinder of
 * the given proportions, near the middle of the picture. Most of what it finds are webs, neighbours and the bench; it only must not
 * miss the journal. Sums along every line come from one running sum for each direction.
 */
import { type ColourPlanes, colourVariance, type EdgeField } from './propose-planes'

/** In px of the field: the middle, the direction along the axis, the distance between the sides, their turn towards each other. */
export type Box = { x: number; y: number; along: number; across: number; closing: number; score: number }

const directions = 45
const closings = [-2, -1, 0, 1, 2]
const stepPx = 2.5
const acrossStep = 1.07
/** How far from the middle of the picture the journal's middle is looked for, as a share of width and height. */
const reach = 0.2

/** `lengthOverDiameter`: of the cylinder between its tangent lines. Best first; neighbours of a better one are left out. */
export function sideBoxes(edges: EdgeField, colours: ColourPlanes, lengthOverDiameter: number, most: number): Box[] {
  const sums = Array.from({ length: directions }, (_, k) => lineSums(edges, (k * Math.PI) / directions))
  const shorter = Math.min(edges.width, edges.height)
  const change = colourChange(colours)
  const best = new Map<number, Box>()
  let size = 0
  for (let across = 0.27 * shorter; across < 0.9 * shorter; across *= acrossStep, size++) {
    const half = Math.max(3, 0.5 * 0.85 * lengthOverDiameter * across)
    const cell = Math.max(stepPx, 0.08 * across)
    for (let k = 0; k < directions; k++) {
      const along = (k * Math.PI) / directions
      const ox = -0.5 * across * Math.sin(along)
      const oy = 0.5 * across * Math.cos(along)
      const end = 0.5 * lengthOverDiameter * across + 0.17 * across
      const endX = end * Math.cos(along)
      const endY = end * Math.sin(along)
      for (let y = edges.height * (0.5 - reach); y <= edges.height * (0.5 + reach); y += stepPx) {
        for (let x = edges.width * (0.5 - reach); x <= edges.width * (0.5 + reach); x += stepPx) {
          let score = 0
          let closing = 0
          for (const c of closings) {
            const one = meanAlong(sums[(k + c + directions) % directions], x + ox, y + oy, half)
            const two = meanAlong(sums[(k - c + directions) % directions], x - ox, y - oy, half)
            const sum = one < two ? 0.6 * one + 0.4 * two : 0.4 * one + 0.6 * two
            if (sum > score) {
              score = sum
              closing = c
            }
          }
          // a side may be hidden, or hardly show under ultraviolet; then what lies beyond the ends and the sides must look different
          const middle = change.at(x, y)
          score +=
            0.2 * change.from(middle, x + endX, y + endY) +
            0.2 * change.from(middle, x - endX, y - endY) +
            0.1 * change.from(middle, x + 1.35 * ox, y + 1.35 * oy) +
            0.1 * change.from(middle, x - 1.35 * ox, y - 1.35 * oy) -
            0.15 * change.from(middle, x + 0.4 * endX, y + 0.4 * endY) -
            0.15 * change.from(middle, x - 0.4 * endX, y - 0.4 * endY)
          if (score < 0.35) continue
          const key = (((size >> 1) * directions + k) * 256 + Math.floor(y / cell)) * 256 + Math.floor(x / cell)
          const before = best.get(key)
          if (!before || before.score < score) best.set(key, { x, y, along, across, closing: (closing * Math.PI) / directions, score })
        }
      }
    }
  }
  return [...best.values()].sort((p, q) => q.score - p.score).slice(0, most)
}

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

/** Running sums of what is an edge along one direction, in a frame turned about the picture's middle. */
function lineSums(edges: EdgeField, along: number): LineSums {
  const { width, height, cos, sin } = edges
  const size = Math.ceil(Math.hypot(width, height)) | 1
  const stride = size + 1
  const rows = new Float32Array(stride * size)
  const c = Math.cos(along)
  const s = Math.sin(along)
  const c2 = -Math.cos(2 * along)
  const s2 = -Math.sin(2 * along)
  for (let q = 0; q < size; q++) {
    let sum = 0
    for (let p = 0; p < size; p++) {
      const x = (width / 2 + (p - size / 2) * c - (q - size / 2) * s) | 0
      const y = (height / 2 + (p - size / 2) * s + (q - size / 2) * c) | 0
      if (x > 0 && y > 0 && x < width && y < height) {
        const i = y * width + x
        const value = cos[i] * c2 + sin[i] * s2
        if (value > 0) sum += value
      }
      rows[q * stride + p + 1] = sum
    }
  }
  // an edge may lie a pixel beside the line that is asked for
  const wide = new Float32Array(rows.length)
  for (let q = 1; q < size - 1; q++)
    for (let p = 0; p < stride; p++) {
      const i = q * stride + p
      wide[i] = rows[i - stride] + rows[i] + rows[i + stride]
    }
  return { c, s, size, middleX: width / 2, middleY: height / 2, rows: wide }
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
  return (rows[row + to] - rows[row + from]) / (2.2 * (to - from))
}
