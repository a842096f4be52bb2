/**
 * AssemblyScript: reading a picture between its pixels. Pictures are RGBA with every byte's top bit turned (value - 128 as a signed byte), padded by
 * two pixels all round. Bilinear: 8-bit fractions, 16-bit products, one dot product. Bicubic (R. G. Keys, "Cubic convolution interpolation for
 * digital image processing", 1981, a = -1/2): rounded 15-bit products down the columns, one dot product along the row.
 */

export const PAD: i32 = 2

/** Red, green, blue, alpha times 65536 at a place in 16.16 fixed point. */
// @ts-ignore: decorator
@inline
export function linearAt(origin: i32, stride: i32, x: i32, y: i32): v128 {
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
export function cubicAt(origin: i32, stride: i32, x: i32, y: i32, table: usize): v128 {
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
export function averageAt(origin: i32, stride: i32, right: i32, bottom: i32, x: i32, y: i32, du: f32, dv: f32, tapsAround: i32, su: f32, sv: f32, tapsAlong: i32): v128 {
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
