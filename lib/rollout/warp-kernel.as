/**
 * AssemblyScript: the inner loops of the rollout in 128-bit SIMD. Cells of the map are filled from one photograph; the places in it, and the
 * weights of its channels, run straight between a cell's four corners. Compiled by lib/cli/compile-kernel.mjs; `plain-kernel.ts` does the same in
 * plain TypeScript, and says what a node and a cell hold (`warp-plan.ts`).
 *
 * Pictures are RGBA with every byte's top bit turned (value - 128 as a signed byte), padded by two pixels all round. Bilinear: 8-bit fractions, 16-bit
 * products, one dot product. Bicubic (R. G. Keys, "Cubic convolution interpolation for digital image processing", 1981,
 * a = -1/2): rounded 15-bit products down the columns, one dot product along the row. The samples' alpha is 255, so the fourth lane adds
 * up the weight.
 */

const NODE: usize = 32
const CELL: usize = 64
const PAD: i32 = 2

/** Fills all cells of a plan into `sums` (f32 x 4 a pixel, `width` pixels a row). `levels`: 16 bytes each: address, width, height. `cubic`: table or 0. */
export function warpCells(sums: usize, width: i32, nodes: usize, cells: usize, count: i32, levels: usize, cubic: usize, strongest: usize, sources: usize, index: i32): void {
  for (let k = 0; k < count; k++) {
    const cell = cells + k * CELL
    const column0 = load<i32>(cell)
    const row0 = load<i32>(cell, 4)
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

    for (let row = 0; row < rows; row++) {
      const t = f32x4.splat(f32(row) * perRow)
      let weights = f32x4.add(a0, f32x4.mul(aDown0, t))
      const left = f32x4.add(a1, f32x4.mul(aDown1, t))
      const perWeights = f32x4.mul(f32x4.sub(f32x4.add(b0, f32x4.mul(bDown0, t)), weights), acrossScale)
      const perPlace = f32x4.mul(f32x4.sub(f32x4.add(b1, f32x4.mul(bDown1, t)), left), acrossScale)
      const u = f32x4.extract_lane(left, 0)
      const v = f32x4.extract_lane(left, 1)
      const du = f32x4.extract_lane(perPlace, 0)
      const dv = f32x4.extract_lane(perPlace, 1)
      // rounded to the nearest of 256 fractions
      let x = i32((u * scale - 0.5) * 65536.0) + 128
      let y = i32((v * scale - 0.5) * 65536.0) + 128
      const dx = i32(du * scale * 65536.0)
      const dy = i32(dv * scale * 65536.0)
      const at = (row0 + row) * width + column0
      let to = sums + (at << 4)

      if (mixed) {
        let margin = f32x4.extract_lane(left, 2)
        const dMargin = f32x4.extract_lane(perPlace, 2)
        const right = (levelWidth - 1) << 16
        const bottom = (levelHeight - 1) << 16
        for (let i = 0; i < columns; i++) {
          if (margin > 0 && x > -32768 && y > -32768 && x < right + 32768 && y < bottom + 32768) {
            let sample: v128
            if (single) {
              const held_x = max(0, min(right, x))
              const held_y = max(0, min(bottom, y))
              sample = cubic ? cubicAt(origin, stride, held_x, held_y, cubic) : linearAt(origin, stride, held_x, held_y)
            } else {
              sample = averageAt(origin, stride, right, bottom, x, y, du * scale, dv * scale, tapsAround, alongX, alongY, tapsAlong)
            }
            v128.store(to, f32x4.add(v128.load(to), f32x4.mul(f32x4.convert_i32x4_s(sample), weights)))
            if (strongest) note(strongest, sources, at + i, f32x4.extract_lane(weights, 3), index)
          }
          margin += dMargin
          x += dx
          y += dy
          weights = f32x4.add(weights, perWeights)
          to += 16
        }
        continue
      }

      if (!single) {
        const right = (levelWidth - 1) << 16
        const bottom = (levelHeight - 1) << 16
        for (let i = 0; i < columns; i++) {
          const sample = averageAt(origin, stride, right, bottom, x, y, du * scale, dv * scale, tapsAround, alongX, alongY, tapsAlong)
          v128.store(to, f32x4.add(v128.load(to), f32x4.mul(f32x4.convert_i32x4_s(sample), weights)))
          x += dx
          y += dy
          weights = f32x4.add(weights, perWeights)
          to += 16
        }
      } else if (cubic) {
        for (let i = 0; i < columns; i++) {
          const sample = cubicAt(origin, stride, x, y, cubic)
          v128.store(to, f32x4.add(v128.load(to), f32x4.mul(f32x4.convert_i32x4_s(sample), weights)))
          x += dx
          y += dy
          weights = f32x4.add(weights, perWeights)
          to += 16
        }
      } else {
        for (let i = 0; i < columns; i++) {
          const sample = linearAt(origin, stride, x, y)
          v128.store(to, f32x4.add(v128.load(to), f32x4.mul(f32x4.convert_i32x4_s(sample), weights)))
          x += dx
          y += dy
          weights = f32x4.add(weights, perWeights)
          to += 16
        }
      }
      if (strongest) {
        let weight = f32x4.extract_lane(f32x4.add(a0, f32x4.mul(aDown0, t)), 3)
        const perWeight = f32x4.extract_lane(perWeights, 3)
        for (let i = 0; i < columns; i++) {
          note(strongest, sources, at + i, weight, index)
          weight += perWeight
        }
      }
    }
  }
}

// @ts-ignore: decorator
@inline
function note(strongest: usize, sources: usize, at: i32, weight: f32, index: i32): void {
  const held = strongest + (at << 2)
  if (weight > load<f32>(held)) {
    store<f32>(held, weight)
    store<u8>(sources + at, index)
  }
}

/** Red, green, blue, alpha times 65536 at a place in 16.16 fixed point. */
// @ts-ignore: decorator
@inline
function linearAt(origin: i32, stride: i32, x: i32, y: i32): v128 {
  const p = origin + (y >> 16) * stride + ((x >> 16) << 2)
  const fx = (x >> 8) & 255
  const fy = (y >> 8) & 255
  const top = v128.load8x8_s(p)
  const bottom = v128.load8x8_s(p + stride)
  const down = i16x8.add(i16x8.shl(top, 8), i16x8.mul(i16x8.sub(bottom, top), i16x8.splat(i16(fy))))
  const pairs = v128.shuffle<i16>(down, down, 0, 4, 1, 5, 2, 6, 3, 7)
  return i32x4.add(i32x4.dot_i16x8_s(pairs, i32x4.splat((256 - fx) | (fx << 16))), i32x4.splat(128 << 16))
}

/** The same, bicubic. `table`: 256 fractions x 8 bytes: four weights times 16384. */
// @ts-ignore: decorator
@inline
function cubicAt(origin: i32, stride: i32, x: i32, y: i32, table: usize): v128 {
  const p = origin + ((y >> 16) - 1) * stride + ((x >> 16) << 2) - 4
  const wx = table + ((x >> 5) & 0x7f8)
  const wy = table + ((y >> 5) & 0x7f8)
  const zero = i8x16.splat(0)
  const r0 = v128.load(p)
  const r1 = v128.load(p + stride)
  const r2 = v128.load(p + 2 * stride)
  const r3 = v128.load(p + 3 * stride)
  const w0 = v128.load16_splat(wy)
  const w1 = v128.load16_splat(wy, 2)
  const w2 = v128.load16_splat(wy, 4)
  const w3 = v128.load16_splat(wy, 6)
  const low = i16x8.add(
    i16x8.add(i16x8.q15mulr_sat_s(lowBytes(zero, r0), w0), i16x8.q15mulr_sat_s(lowBytes(zero, r1), w1)),
    i16x8.add(i16x8.q15mulr_sat_s(lowBytes(zero, r2), w2), i16x8.q15mulr_sat_s(lowBytes(zero, r3), w3)),
  )
  const high = i16x8.add(
    i16x8.add(i16x8.q15mulr_sat_s(highBytes(zero, r0), w0), i16x8.q15mulr_sat_s(highBytes(zero, r1), w1)),
    i16x8.add(i16x8.q15mulr_sat_s(highBytes(zero, r2), w2), i16x8.q15mulr_sat_s(highBytes(zero, r3), w3)),
  )
  const sum = i32x4.add(
    i32x4.dot_i16x8_s(v128.shuffle<i16>(low, low, 0, 4, 1, 5, 2, 6, 3, 7), v128.load32_splat(wx)),
    i32x4.dot_i16x8_s(v128.shuffle<i16>(high, high, 0, 4, 1, 5, 2, 6, 3, 7), v128.load32_splat(wx, 4)),
  )
  // 128 a grey level down the columns, 16384 along the row: 2 ^ 21; brought to 2 ^ 16 with the offset of 128 grey levels
  return i32x4.shr_s(i32x4.add(sum, i32x4.splat((128 << 21) + 16)), 5)
}

// @ts-ignore: decorator
@inline
function lowBytes(zero: v128, bytes: v128): v128 {
  return v128.shuffle<i8>(zero, bytes, 0, 16, 1, 17, 2, 18, 3, 19, 4, 20, 5, 21, 6, 22, 7, 23)
}

// @ts-ignore: decorator
@inline
function highBytes(zero: v128, bytes: v128): v128 {
  return v128.shuffle<i8>(zero, bytes, 8, 24, 9, 25, 10, 26, 11, 27, 12, 28, 13, 29, 14, 30, 15, 31)
}

/** Mean of taps spread over the map's pixel, each bilinear and held within the picture. */
function averageAt(origin: i32, stride: i32, right: i32, bottom: i32, x: i32, y: i32, du: f32, dv: f32, tapsAround: i32, su: f32, sv: f32, tapsAlong: i32): v128 {
  let sum = i32x4.splat(0)
  const perAround: f32 = 65536.0 / f32(tapsAround)
  const perAlong: f32 = 65536.0 / f32(tapsAlong)
  for (let a = 0; a < tapsAround; a++) {
    const around = (f32(a) + 0.5) * perAround - 32768.0
    for (let b = 0; b < tapsAlong; b++) {
      const along = (f32(b) + 0.5) * perAlong - 32768.0
      const tx = max(0, min(right, x + i32(around * du + along * su)))
      const ty = max(0, min(bottom, y + i32(around * dv + along * sv)))
      sum = i32x4.add(sum, linearAt(origin, stride, tx, ty))
    }
  }
  return i32x4.trunc_sat_f32x4_s(f32x4.mul(f32x4.convert_i32x4_s(sum), f32x4.splat(1.0 / f32(tapsAround * tapsAlong))))
}

/** `count` sums, a multiple of four, to RGBA, four zeros where nothing was added; the sums are zero afterwards. */
export function settle(sums: usize, rgba: usize, count: i32): void {
  const zero = i32x4.splat(0)
  for (let i = 0; i < count; i += 4) {
    const at = sums + (i << 4)
    const s0 = v128.load(at)
    const s1 = v128.load(at, 16)
    const s2 = v128.load(at, 32)
    const s3 = v128.load(at, 48)
    const weights = v128.shuffle<i32>(v128.shuffle<i32>(s0, s1, 3, 7, 3, 7), v128.shuffle<i32>(s2, s3, 3, 7, 3, 7), 0, 1, 4, 5)
    // nothing over next to nothing is nothing, alpha included
    const scale = f32x4.div(f32x4.splat(255.0), f32x4.max(weights, f32x4.splat(1e-35)))
    const p0 = rounded(f32x4.mul(s0, v128.shuffle<i32>(scale, scale, 0, 0, 0, 0)))
    const p1 = rounded(f32x4.mul(s1, v128.shuffle<i32>(scale, scale, 1, 1, 1, 1)))
    const p2 = rounded(f32x4.mul(s2, v128.shuffle<i32>(scale, scale, 2, 2, 2, 2)))
    const p3 = rounded(f32x4.mul(s3, v128.shuffle<i32>(scale, scale, 3, 3, 3, 3)))
    v128.store(rgba + (i << 2), i8x16.narrow_i16x8_u(i16x8.narrow_i32x4_s(p0, p1), i16x8.narrow_i32x4_s(p2, p3)))
    v128.store(at, zero)
    v128.store(at, zero, 16)
    v128.store(at, zero, 32)
    v128.store(at, zero, 48)
  }
}

/** To the nearest whole number, for what is well below 2 ^ 22: there the last bit of 1.5 x 2 ^ 23 + x is worth one. */
// @ts-ignore: decorator
@inline
function rounded(x: v128): v128 {
  return i32x4.sub(f32x4.add(x, f32x4.splat(12582912.0)), i32x4.splat(0x4b400000))
}

/** One row of RGB or RGBA into the padded form at `to`, its ends repeated into the padding. */
export function packRow(from: usize, channels: i32, width: i32, to: usize): void {
  const start = to + PAD * 4
  for (let i = 0; i < width; i++) {
    const p = from + i * channels
    store<u32>(start + (i << 2), ((load<u8>(p) as u32) | ((load<u8>(p, 1) as u32) << 8) | ((load<u8>(p, 2) as u32) << 16) | 0xff000000) ^ 0x80808080)
  }
  repeatEnds(start, width)
}

/** One row of the next halving from two rows of a level, each mean of 2 x 2 rounded; all addresses are of a row's first pixel, past the padding. */
export function halveRow(above: usize, below: usize, width: i32, to: usize): void {
  const turn = i8x16.splat(-128)
  for (let i = 0; i < width; i++) {
    const a = v128.xor(v128.load64_zero(above + (i << 3)), turn)
    const b = v128.xor(v128.load64_zero(below + (i << 3)), turn)
    const down = i16x8.add(i16x8.extend_low_i8x16_u(a), i16x8.extend_low_i8x16_u(b))
    const sum = i16x8.shr_u(i16x8.add(i16x8.add(down, v128.shuffle<i64>(down, down, 1, 0)), i16x8.splat(2)), 2)
    store<u32>(to + (i << 2), u32(i32x4.extract_lane(i8x16.narrow_i16x8_u(sum, sum), 0)) ^ 0x80808080)
  }
  repeatEnds(to, width)
}

// @ts-ignore: decorator
@inline
function repeatEnds(start: usize, width: i32): void {
  const first = load<u32>(start)
  const last = load<u32>(start + ((width - 1) << 2))
  store<u32>(start - 8, first)
  store<u32>(start - 4, first)
  store<u32>(start + (width << 2), last)
  store<u32>(start + (width << 2), last, 4)
}
