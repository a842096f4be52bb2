/**
 * AssemblyScript: parts of the map that one photograph alone shows, straight to bytes: nothing is weighed, so there is nothing to add up and to settle.
 * A node's first three numbers are its gains alone, its fourth is 1 (`warp-plan.ts`).
 *
 * Bilinear, four pixels at a time, two to a vector: 15-bit fractions, rounded 15-bit products of 16-bit differences; a grey level counts 128, so that the
 * largest difference of two bytes still fits.
 */
import { averageAt, cubicAt, linearAt, PAD } from './warp-samples'

const NODE: usize = 32
const CELL: usize = 64
/** Gains below this are held in 13 bits after the point. */
const MOST_GAIN: f32 = 3.9

/** Fills all cells of a plan into `rgba`, `width` pixels a row; the rest of it stays. The other arguments are those of `warpCells`. */
export function warpAlone(rgba: usize, width: i32, nodes: usize, cells: usize, count: i32, levels: usize, cubic: usize): void {
  for (let k = 0; k < count; k++) {
    const cell = cells + k * CELL
    const columns = load<i32>(cell, 8)
    const rows = load<i32>(cell, 12)
    const a = nodes + load<i32>(cell, 16) * NODE
    const b = a + load<i32>(cell, 20) * NODE
    const down = load<i32>(cell, 24) * NODE
    const mixed = load<i32>(cell, 28)
    const level = load<i32>(cell, 32)
    const tapsAround = load<i32>(cell, 36)
    const tapsAlong = load<i32>(cell, 40)
    const perRow = load<f32>(cell, 44)
    const perColumn = load<f32>(cell, 48)
    const picture = load<i32>(levels + level * 16)
    const levelWidth = load<i32>(levels + level * 16, 4)
    const levelHeight = load<i32>(levels + level * 16, 8)
    const scale: f32 = 1.0 / f32(1 << level)
    const stride = (levelWidth + 2 * PAD) * 4
    const origin = picture + PAD * stride + PAD * 4
    const right = (levelWidth - 1) << 16
    const bottom = (levelHeight - 1) << 16

    const a0 = v128.load(a)
    const b0 = v128.load(b)
    const a1 = v128.load(a, 16)
    const b1 = v128.load(b, 16)
    const aDown0 = f32x4.sub(v128.load(a + down), a0)
    const bDown0 = f32x4.sub(v128.load(b + down), b0)
    const aDown1 = f32x4.sub(v128.load(a + down, 16), a1)
    const bDown1 = f32x4.sub(v128.load(b + down, 16), b1)
    const acrossScale = f32x4.splat(perColumn)
    const single = tapsAround * tapsAlong == 1
    const alongX = f32x4.extract_lane(aDown1, 0) * perRow * scale
    const alongY = f32x4.extract_lane(aDown1, 1) * perRow * scale
    const one = f32x4.splat(1.0)
    const changed = v128.or(v128.or(f32x4.ne(a0, one), f32x4.ne(b0, one)), v128.or(f32x4.ne(v128.load(a + down), one), f32x4.ne(v128.load(b + down), one)))
    const plain = !v128.any_true(changed)
    const most = f32x4.max(f32x4.max(a0, b0), f32x4.max(v128.load(a + down), v128.load(b + down)))
    const quads = !mixed && single && !cubic && i32x4.all_true(f32x4.lt(most, f32x4.splat(MOST_GAIN))) ? columns & ~3 : 0
    if (quads) store<i32>(cell, readAhead(origin, stride, a1, b1, aDown1, bDown1, columns, rows, perRow, scale), 52)
    let to = rgba + ((load<i32>(cell, 4) * width + load<i32>(cell)) << 2)

    for (let row = 0; row < rows; row++) {
      const t = f32x4.splat(f32(row) * perRow)
      const gains = f32x4.add(a0, f32x4.mul(aDown0, t))
      const left = f32x4.add(a1, f32x4.mul(aDown1, t))
      const perGains = f32x4.mul(f32x4.sub(f32x4.add(b0, f32x4.mul(bDown0, t)), gains), acrossScale)
      const perPlace = f32x4.mul(f32x4.sub(f32x4.add(b1, f32x4.mul(bDown1, t)), left), acrossScale)
      const du = f32x4.extract_lane(perPlace, 0) * scale
      const dv = f32x4.extract_lane(perPlace, 1) * scale
      const x = i32((f32x4.extract_lane(left, 0) * scale - 0.5) * 65536.0)
      const y = i32((f32x4.extract_lane(left, 1) * scale - 0.5) * 65536.0)
      const dx = i32(du * 65536.0)
      const dy = i32(dv * 65536.0)
      if (quads) {
        if (plain) plainRow(to, origin, stride, x, y, dx, dy, quads)
        else gainedRow(to, origin, stride, x, y, dx, dy, quads, gains, perGains)
      }
      const dMargin = f32x4.extract_lane(perPlace, 2)
      for (let i = quads; i < columns; i++) {
        // rounded to the nearest of 256 fractions
        const atX = x + i * dx + 128
        const atY = y + i * dy + 128
        if (mixed && !(f32x4.extract_lane(left, 2) + f32(i) * dMargin > 0 && atX > -32768 && atY > -32768 && atX < right + 32768 && atY < bottom + 32768)) continue
        let sample: v128
        if (single) {
          const heldX = max(0, min(right, atX))
          const heldY = max(0, min(bottom, atY))
          sample = cubic ? cubicAt(origin, stride, heldX, heldY, cubic) : linearAt(origin, stride, heldX, heldY)
        } else {
          sample = averageAt(origin, stride, right, bottom, atX, atY, du, dv, tapsAround, alongX, alongY, tapsAlong)
        }
        const gained = f32x4.add(gains, f32x4.mul(perGains, f32x4.splat(f32(i))))
        const whole = i32x4.trunc_sat_f32x4_s(f32x4.nearest(f32x4.mul(f32x4.convert_i32x4_s(sample), f32x4.mul(gained, f32x4.splat(1.0 / 65536.0)))))
        const words = i16x8.narrow_i32x4_s(whole, whole)
        v128.store32_lane(to + (i << 2), i8x16.narrow_i16x8_u(words, words), 0)
      }
      to += width << 2
    }
  }
}

/**
 * Reads one byte of every line of memory that a cell needs, one after another without anything to wait for: fetched each as its pixel needs it, most of the
 * time would go in waiting. What comes of it is kept, lest it be left out as of no use.
 */
function readAhead(origin: i32, stride: i32, a1: v128, b1: v128, aDown1: v128, bDown1: v128, columns: i32, rows: i32, perRow: f32, scale: f32): i32 {
  let seen = 0
  for (let row = 0; row < rows; row++) {
    const t = f32x4.splat(f32(row) * perRow)
    const left = f32x4.add(a1, f32x4.mul(aDown1, t))
    const across = f32x4.mul(f32x4.sub(f32x4.add(b1, f32x4.mul(bDown1, t)), left), f32x4.splat(16.0 / f32(columns)))
    const start = i32x4.trunc_sat_f32x4_s(f32x4.mul(left, f32x4.splat(65536.0 * scale)))
    const step = i32x4.trunc_sat_f32x4_s(f32x4.mul(across, f32x4.splat(65536.0 * scale)))
    let x = i32x4.extract_lane(start, 0)
    let y = i32x4.extract_lane(start, 1)
    for (let i = 0; i <= columns; i += 16) {
      seen += load<u8>(origin + (y >> 16) * stride + ((x >> 16) << 2))
      x += i32x4.extract_lane(step, 0)
      y += i32x4.extract_lane(step, 1)
    }
  }
  return seen
}

function plainRow(to: usize, origin: i32, stride: i32, x: i32, y: i32, dx: i32, dy: i32, quads: i32): void {
  const half = i16x8.splat(64)
  const turn = i8x16.splat(-128)
  let xs = everyNext(x, dx)
  let ys = everyNext(y, dy)
  const dxs = i32x4.splat(4 * dx)
  const dys = i32x4.splat(4 * dy)
  const strides = i32x4.splat(stride)
  const origins = i32x4.splat(origin)
  const end = to + (quads << 2)
  for (; to < end; to += 16) {
    const places = placesOf(xs, ys, strides, origins)
    const fx = fractionsOf(xs)
    const fy = fractionsOf(ys)
    const first = i16x8.shr_s(i16x8.add(pairOf(places, 0, fx, fy, stride), half), 7)
    const second = i16x8.shr_s(i16x8.add(pairOf(places, 1, fx, fy, stride), half), 7)
    v128.store(to, v128.xor(i8x16.narrow_i16x8_s(first, second), turn))
    xs = i32x4.add(xs, dxs)
    ys = i32x4.add(ys, dys)
  }
}

function gainedRow(to: usize, origin: i32, stride: i32, x: i32, y: i32, dx: i32, dy: i32, quads: i32, gains: v128, perGains: v128): void {
  const half = i16x8.splat(16)
  // a picture's bytes are turned: 128 grey levels more, of 128 each
  const turn = i16x8.splat(16384)
  let xs = everyNext(x, dx)
  let ys = everyNext(y, dy)
  const dxs = i32x4.splat(4 * dx)
  const dys = i32x4.splat(4 * dy)
  const strides = i32x4.splat(stride)
  const origins = i32x4.splat(origin)
  const points = f32x4.splat(268435456.0)
  let gain = i32x4.trunc_sat_f32x4_s(f32x4.mul(gains, points))
  const perGain = i32x4.trunc_sat_f32x4_s(f32x4.mul(perGains, points))
  const end = to + (quads << 2)
  for (; to < end; to += 16) {
    const places = placesOf(xs, ys, strides, origins)
    const fx = fractionsOf(xs)
    const fy = fractionsOf(ys)
    const gain1 = i32x4.add(gain, perGain)
    const gain2 = i32x4.add(gain1, perGain)
    const gain3 = i32x4.add(gain2, perGain)
    const first = i16x8.q15mulr_sat_s(i16x8.add(pairOf(places, 0, fx, fy, stride), turn), i16x8.narrow_i32x4_s(i32x4.shr_s(gain, 15), i32x4.shr_s(gain1, 15)))
    const second = i16x8.q15mulr_sat_s(i16x8.add(pairOf(places, 1, fx, fy, stride), turn), i16x8.narrow_i32x4_s(i32x4.shr_s(gain2, 15), i32x4.shr_s(gain3, 15)))
    // a quarter of 128 a grey level
    v128.store(to, i8x16.narrow_i16x8_u(i16x8.shr_u(i16x8.add(first, half), 5), i16x8.shr_u(i16x8.add(second, half), 5)))
    gain = i32x4.add(gain3, perGain)
    xs = i32x4.add(xs, dxs)
    ys = i32x4.add(ys, dys)
  }
}

// @ts-ignore: decorator
@inline
function everyNext(x: i32, dx: i32): v128 {
  return i32x4.replace_lane(i32x4.replace_lane(i32x4.replace_lane(i32x4.splat(x), 1, x + dx), 2, x + 2 * dx), 3, x + 3 * dx)
}

/** Addresses of the four pixels above and to the left of places in 16.16 fixed point. */
// @ts-ignore: decorator
@inline
function placesOf(xs: v128, ys: v128, strides: v128, origins: v128): v128 {
  return i32x4.add(i32x4.add(i32x4.mul(i32x4.shr_s(ys, 16), strides), i32x4.shl(i32x4.shr_s(xs, 16), 2)), origins)
}

/** Their fractions in 15 bits, each twice. */
// @ts-ignore: decorator
@inline
function fractionsOf(xs: v128): v128 {
  const once = i32x4.shr_u(i32x4.shl(xs, 16), 17)
  return v128.or(once, i32x4.shl(once, 16))
}

/** Two of the four samples: 128 a grey level, the bytes' top bit turned. `pair`: 0 or 1. */
// @ts-ignore: decorator
@inline
function pairOf(places: v128, pair: i32, fx: v128, fy: v128, stride: i32): v128 {
  const one = pair == 0 ? columnsAt(i32x4.extract_lane(places, 0), stride, v128.shuffle<i32>(fy, fy, 0, 0, 0, 0)) : columnsAt(i32x4.extract_lane(places, 2), stride, v128.shuffle<i32>(fy, fy, 2, 2, 2, 2))
  const other = pair == 0 ? columnsAt(i32x4.extract_lane(places, 1), stride, v128.shuffle<i32>(fy, fy, 1, 1, 1, 1)) : columnsAt(i32x4.extract_lane(places, 3), stride, v128.shuffle<i32>(fy, fy, 3, 3, 3, 3))
  const left = v128.shuffle<i64>(one, other, 0, 2)
  const right = v128.shuffle<i64>(one, other, 1, 3)
  const share = pair == 0 ? v128.shuffle<i32>(fx, fx, 0, 0, 1, 1) : v128.shuffle<i32>(fx, fx, 2, 2, 3, 3)
  return i16x8.add(left, i16x8.q15mulr_sat_s(i16x8.sub(right, left), share))
}

/** The pixel's column and the next one's, between their two rows. */
// @ts-ignore: decorator
@inline
function columnsAt(p: i32, stride: i32, share: v128): v128 {
  const top = i16x8.shl(v128.load8x8_s(p), 7)
  return i16x8.add(top, i16x8.q15mulr_sat_s(i16x8.sub(i16x8.shl(v128.load8x8_s(p + stride), 7), top), share))
}

/** Where the alpha of `count` pixels is not 0, `index`; otherwise 255. */
export function sourcesAlone(rgba: usize, sources: usize, count: i32, index: i32): void {
  for (let i = 0; i < count; i++) store<u8>(sources + i, load<u8>(rgba + (i << 2), 3) ? index : 255)
}
