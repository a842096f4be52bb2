/**
 * How much each place of the map looks like a thin line, from all photographs at once. For twelve directions each strip is averaged along the
 * direction over about half a mm and compared with both sides 0.19 mm away (oriented line detection: the weaker side counts, so that
 * the edge of a stain is no line). Photographs are weighed by their own noise there (inverse variances: what holds in several adds up, a highlight
 * in one does not), and the sum is measured against what that direction shows around it, which damps the lay of grinding.
 */
import { median } from '../journal/median'
import type { LineGrid } from './line-grid'
import type { LineStrip } from './line-strip'

export const directions = 12
export type LineEvidence = {
  columns: number
  rows: number
  /** Height of the best direction's line in standard deviations of its surroundings; 0 where nothing is seen. */
  height: Float32Array
  /** That direction, in twelfths of half a turn from "around" towards the rear. */
  direction: Uint8Array
  /** Darkness (or glow) of the line beside its sides. */
  contrast: Float32Array
}

const tileColumns = 256
const halo = 16
const alongTaps = 7
const alongSigma = 3.4
const block = 32
/** A square livelier than so many times its neighbours' median counts as this. */
const neighbourShare = 1.2

type Tile = { width: number; rows: number; values: Float32Array; inner: Uint8Array }

/** `sidePlaces`: how far from a line's middle its sides are looked at. `evenNoise`: surroundings are judged alike everywhere, as where lines glow on a dark ground. */
export type EvidenceScale = { sidePlaces: number; evenNoise: boolean }

export function lineEvidence(grid: LineGrid, strips: readonly LineStrip[], scale: EvidenceScale): LineEvidence {
  const size = grid.columns * grid.rows
  const out: LineEvidence = {
    columns: grid.columns,
    rows: grid.rows,
    height: new Float32Array(size),
    direction: new Uint8Array(size),
    contrast: new Float32Array(size),
  }
  const tiles = Math.ceil(grid.columns / tileColumns)
  for (let tile = 0; tile < tiles; tile++) {
    evidenceOfTile(grid, strips, scale, tile * tileColumns, Math.min(tileColumns, grid.columns - tile * tileColumns), out)
  }
  return out
}

function evidenceOfTile(
  grid: LineGrid,
  strips: readonly LineStrip[],
  { sidePlaces, evenNoise }: EvidenceScale,
  from: number,
  count: number,
  out: LineEvidence,
): void {
  const width = count + 2 * halo
  const { rows } = grid
  const tiles = strips.flatMap((strip) => tileOf(grid, strip, from - halo, width) ?? [])
  if (tiles.length === 0) return
  const size = width * rows
  const above = new Float32Array(size)
  const below = new Float32Array(size)
  const weight = new Float32Array(size)
  const line = new Float32Array(size)
  for (let k = 0; k < directions; k++) {
    const angle = (k * Math.PI) / directions
    const aside = Math.round(-Math.sin(angle) * sidePlaces) + Math.round(Math.cos(angle) * sidePlaces) * width
    above.fill(0)
    below.fill(0)
    weight.fill(0)
    for (const tile of tiles) {
      averagedAlong(tile, angle, line)
      addSides(tile, line, aside, above, below, weight)
    }
    for (let i = 0; i < size; i++) line[i] = weight[i] > 0 ? Math.min(above[i], below[i]) / weight[i] : 0
    const noise = blockNoise(line, weight, width, rows, 64)
    if (evenNoise) noise.fill(median(noise))
    const noiseColumns = Math.ceil(width / 64)
    for (let row = 0; row < rows; row++) {
      for (let x = 0; x < count; x++) {
        const i = row * width + x + halo
        if (weight[i] === 0) continue
        const height = line[i] / noise[(row >> 6) * noiseColumns + ((x + halo) >> 6)]
        const to = row * grid.columns + from + x
        if (height > out.height[to]) {
          out.height[to] = height
          out.direction[to] = k
          out.contrast[to] = line[i]
        }
      }
    }
  }
}

/** The strip's part under a tile, slightly smoothed; null where it shows next to nothing of it. */
function tileOf(grid: LineGrid, strip: LineStrip, from: number, width: number): Tile | null {
  const { rows } = grid
  const turn = grid.columns
  // the turn of the strip in which it overlaps the tile
  const middle = strip.first + strip.columns / 2
  const shift = Math.round((middle - from - width / 2) / turn) * turn
  const offset = from + shift - strip.first
  const raw = new Float32Array(width * rows)
  const mask = new Uint8Array(width * rows)
  let seen = 0
  for (let x = 0; x < width; x++) {
    const column = offset + x
    if (column < 0 || column >= strip.columns) continue
    for (let row = 0; row < rows; row++) {
      const at = row * strip.columns + column
      if (strip.seen[at] === 0) continue
      raw[row * width + x] = strip.lines[at]
      mask[row * width + x] = 1
      seen++
    }
  }
  if (seen < 0.01 * width * rows) return null
  return { width, rows, values: smoothed(raw, width, rows), inner: eroded(mask, width, rows, 5) }
}

function smoothed(raw: Float32Array, width: number, rows: number): Float32Array {
  const out = new Float32Array(raw.length)
  for (let row = 1; row < rows - 1; row++) {
    for (let x = 1; x < width - 1; x++) {
      const i = row * width + x
      const up = i - width
      const low = i + width
      out[i] =
        0.25 * raw[i] +
        0.125 * (raw[i - 1] + raw[i + 1] + raw[up] + raw[low]) +
        0.0625 * (raw[up - 1] + raw[up + 1] + raw[low - 1] + raw[low + 1])
    }
  }
  return out
}

function eroded(mask: Uint8Array, width: number, rows: number, by: number): Uint8Array {
  const across = new Uint8Array(mask.length)
  for (let row = 0; row < rows; row++) {
    let run = 0
    for (let x = 0; x < width; x++) {
      run = mask[row * width + x] ? run + 1 : 0
      if (run >= 2 * by + 1) across[row * width + x - by] = 1
    }
  }
  const out = new Uint8Array(mask.length)
  for (let x = 0; x < width; x++) {
    let run = 0
    for (let row = 0; row < rows; row++) {
      run = across[row * width + x] ? run + 1 : 0
      if (run >= 2 * by + 1) out[(row - by) * width + x] = 1
    }
  }
  return out
}

function averagedAlong(tile: Tile, angle: number, into: Float32Array): void {
  const { width, rows, values } = tile
  const offsets: number[] = []
  const weights: number[] = []
  let sum = 0
  for (let t = -alongTaps; t <= alongTaps; t++) {
    const weight = Math.exp((-t * t) / (2 * alongSigma * alongSigma))
    offsets.push(Math.round(t * Math.sin(angle)) * width + Math.round(t * Math.cos(angle)))
    weights.push(weight)
    sum += weight
  }
  for (let k = 0; k < weights.length; k++) weights[k] /= sum
  into.fill(0)
  const low = alongTaps + 1
  for (let row = low; row < rows - low; row++) {
    for (let i = row * width + low; i < (row + 1) * width - low; i++) {
      let value = 0
      for (let k = 0; k < offsets.length; k++) value += weights[k] * values[i + offsets[k]]
      into[i] = value
    }
  }
}

/** Adds how much darker the line is than either side, weighed by the photograph's noise in its part of the tile. */
function addSides(tile: Tile, line: Float32Array, aside: number, above: Float32Array, below: Float32Array, weight: Float32Array): void {
  const { width, rows, inner } = tile
  const blocksAcross = Math.ceil(width / block)
  for (let top = 0; top < rows; top += block) {
    for (let b = 0; b < blocksAcross; b++) {
      const left = b * block
      const right = Math.min(width, left + block)
      const bottom = Math.min(rows, top + block)
      let sum = 0
      let count = 0
      for (let row = Math.max(top, 6); row < Math.min(bottom, rows - 6); row += 2) {
        for (let i = row * width + left; i < row * width + right; i += 2) {
          if (!inner[i]) continue
          sum += Math.abs(line[i] - line[i + aside])
          count++
        }
      }
      if (count < 12) continue
      const noise = Math.max(0.0015, (1.25 * sum) / count)
      const own = 1 / (noise * noise)
      for (let row = Math.max(top, 6); row < Math.min(bottom, rows - 6); row++) {
        for (let i = row * width + left; i < row * width + right; i++) {
          if (!inner[i]) continue
          above[i] += own * (line[i] - line[i - aside])
          below[i] += own * (line[i] - line[i + aside])
          weight[i] += own
        }
      }
    }
  }
}

/** Deviation of the lines' heights in squares, in which what stands out counts for little; squares without enough take the mean of all. */
function blockNoise(line: Float32Array, weight: Float32Array, width: number, rows: number, side: number): Float32Array {
  const across = Math.ceil(width / side)
  const down = Math.ceil(rows / side)
  const noise = new Float32Array(across * down)
  let [all, blocks] = [0, 0]
  for (let by = 0; by < down; by++) {
    for (let bx = 0; bx < across; bx++) {
      let limit = Infinity
      let deviation = 0
      for (let pass = 0; pass < 3; pass++) {
        let [sum, count] = [0, 0]
        for (let row = by * side; row < Math.min(rows, (by + 1) * side); row++) {
          for (let i = row * width + bx * side; i < row * width + Math.min(width, (bx + 1) * side); i++) {
            if (weight[i] === 0 || Math.abs(line[i]) > limit) continue
            sum += line[i] * line[i]
            count++
          }
        }
        deviation = count > 60 ? Math.sqrt(sum / count) : 0
        limit = 2.5 * deviation
      }
      noise[by * across + bx] = deviation
      if (deviation > 0) {
        all += deviation
        blocks++
      }
    }
  }
  const mean = blocks > 0 ? all / blocks : 1
  return noise.map((own, i) => {
    if (own === 0) return mean
    // a net of cracks fills its squares; what lies around them tells what is usual there
    const around: number[] = []
    for (let dy = -1; dy <= 1; dy++)
      for (let dx = -1; dx <= 1; dx++) {
        const [bx, by] = [(i % across) + dx, Math.floor(i / across) + dy]
        if (bx >= 0 && by >= 0 && bx < across && by < down && noise[by * across + bx] > 0) around.push(noise[by * across + bx])
      }
    return Math.max(Math.min(own, neighbourShare * median(Float32Array.from(around))), 0.4 * mean)
  })
}
