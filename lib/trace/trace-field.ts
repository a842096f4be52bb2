/**
 * How cheap it is to walk over each pixel of a rolled-out map: cheap along a thin line that is darker than both its sides (or brighter, under
 * ultraviolet), dear elsewhere. Four directions, the weaker side counts, measured against the noise of the map itself, so that the field knows
 * neither the view nor the exposure.
 */
export type TraceField = {
  width: number
  height: number
  /** Cost of a mm over a pixel, 6 (along a clear line) to 64: a detour along another line is worth ten times the way at most. */
  cost: Uint8Array
  /** How far a pixel stands out as part of a line, in standard deviations times 16, at most 255. */
  lineness: Uint8Array
  /** mm of a step to the next column in each row (less in no row than on the cylinder), and to the next row. */
  stepAround: Float32Array
  stepAlong: number
}

/** Row-major RGBA, rear first; alpha 0 where nothing is known. */
export type TraceMap = { width: number; height: number; rgba: Uint8Array | Uint8ClampedArray }

/** A crack's middle and its sides are compared this far apart, mm. */
const sideMm = 0.2
const dearest = 64
const cheapest = 6

/**
 * @param stepAround mm per column in each row; columns wrap around
 * @param line whether lines are darker or brighter than the metal
 */
export function traceField(map: TraceMap, stepAround: Float32Array, stepAlong: number, line: 'dark' | 'bright'): TraceField {
  const { width, height } = map
  const grey = greyOf(map, line)
  const smooth = smoothedPlane(grey, width, height)
  const reach = Math.max(1, Math.round(sideMm / stepAlong))
  const strength = strengthOf(smooth, width, height, reach)
  const noise = noiseOf(strength)
  const lineness = new Uint8Array(width * height)
  const cost = new Uint8Array(width * height)
  const table = new Uint8Array(256)
  for (let k = 0; k < 256; k++) table[k] = Math.round(cheapest + (dearest - cheapest) * Math.exp(-Math.max(0, k - 12) / 22))
  const scale = 16 / noise
  for (let i = 0; i < cost.length; i++) {
    const value = strength[i] > 0 ? Math.min(255, strength[i] * scale) : 0
    lineness[i] = value
    cost[i] = table[lineness[i]]
  }
  return { width, height, cost, lineness, stepAround, stepAlong }
}

/** Stands for what no photograph shows. */
const unknown = -1000

/** Logarithm of brightness would do; a square root is near to it and tames sensor noise (Anscombe 1948). */
function greyOf({ rgba, width, height }: TraceMap, line: 'dark' | 'bright'): Float32Array {
  const root = Float32Array.from({ length: 512 }, (_, k) => Math.sqrt(k + 2))
  const out = new Float32Array(width * height)
  if (line === 'dark') {
    for (let i = 0, p = 0; i < out.length; i++, p += 4)
      out[i] = rgba[p + 3] === 0 ? unknown : root[(77 * rgba[p] + 153 * rgba[p + 1] + 26 * rgba[p + 2]) >> 8]
    return out
  }
  // under ultraviolet particles are green and lint is blue
  for (let i = 0, p = 0; i < out.length; i++, p += 4) {
    const glow = rgba[p + 1] - 0.6 * rgba[p + 2] + 154
    out[i] = rgba[p + 3] === 0 ? unknown : -root[glow > 0 ? glow | 0 : 0]
  }
  return out
}

/** A quarter, a half, a quarter along both sides; columns wrap. */
function smoothedPlane(from: Float32Array, width: number, height: number): Float32Array {
  const rows = new Float32Array(from.length)
  for (let y = 0; y < height; y++) {
    const row = y * width
    let left = from[row + width - 1]
    for (let x = 0; x < width - 1; x++) {
      const i = row + x
      rows[i] = 0.25 * left + 0.5 * from[i] + 0.25 * from[i + 1]
      left = from[i]
    }
    rows[row + width - 1] = 0.25 * left + 0.5 * from[row + width - 1] + 0.25 * from[row]
  }
  const out = new Float32Array(from.length)
  for (let y = 0; y < height; y++) {
    const row = y * width
    const up = y > 0 ? row - width : row
    const low = y < height - 1 ? row + width : row
    for (let x = 0; x < width; x++) out[row + x] = 0.25 * rows[up + x] + 0.5 * rows[row + x] + 0.25 * rows[low + x]
  }
  return out
}

/**
 * Of four directions across, the most by which a pixel is below the lower of its two sides. What is not known lies far below everything, so that
 * nothing beside it stands out.
 */
function strengthOf(smooth: Float32Array, width: number, height: number, reach: number): Float32Array {
  const out = new Float32Array(smooth.length)
  const slant = Math.max(1, Math.round(reach * Math.SQRT1_2))
  const [across, rising, falling] = [reach * width, slant * width - slant, slant * width + slant]
  for (let y = reach; y < height - reach; y++) {
    const end = (y + 1) * width - reach
    for (let i = y * width + reach; i < end; i++) {
      const own = smooth[i]
      const a0 = smooth[i - reach]
      const a1 = smooth[i + reach]
      const b0 = smooth[i - across]
      const b1 = smooth[i + across]
      const c0 = smooth[i - rising]
      const c1 = smooth[i + rising]
      const d0 = smooth[i - falling]
      const d1 = smooth[i + falling]
      const a = Math.min(a0, a1)
      const b = Math.min(b0, b1)
      const c = Math.min(c0, c1)
      const d = Math.min(d0, d1)
      const ab = Math.max(a, b)
      const cd = Math.max(c, d)
      const best = Math.max(ab, cd) - own
      if (best > 0 && own > unknown / 2) out[i] = best
    }
    for (let x = -reach; x < reach; x++) {
      const at = (dx: number, dy: number) => smooth[(y + dy) * width + ((x + dx + width) % width)]
      const sides = (dx: number, dy: number) => Math.min(at(dx, dy), at(-dx, -dy))
      const best = Math.max(sides(reach, 0), sides(0, reach), sides(slant, slant), sides(slant, -slant)) - at(0, 0)
      if (best > 0 && at(0, 0) > unknown / 2) out[y * width + ((x + width) % width)] = best
    }
  }
  return out
}

/** What half of the pixels that stand out at all stay below: lines are few. */
function noiseOf(strength: Float32Array): number {
  const bins = new Uint32Array(2048)
  let count = 0
  for (let i = 0; i < strength.length; i += 7) {
    if (strength[i] <= 0) continue
    bins[Math.min(2047, (strength[i] * 512) | 0)]++
    count++
  }
  let sum = 0
  for (let k = 0; k < bins.length; k++) {
    sum += bins[k]
    if (2 * sum >= count && count > 0) return Math.max(0.004, (k + 0.5) / 512)
  }
  return 1
}
