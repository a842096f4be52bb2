/** AssemblyScript: a picture brought into the form that `warp-samples.as` reads, and its halvings. */
import { PAD } from './warp-samples'

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
