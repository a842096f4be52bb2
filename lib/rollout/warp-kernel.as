/**
 * AssemblyScript: the inner loops of the rollout in 128-bit SIMD. Cells of the map are filled from one photograph; the places in it, and the
 * weights of its channels, run straight between a cell's four corners. Compiled by lib/cli/compile-kernel.mjs; `plain-kernel.ts` does the same in
 * plain TypeScript, and says what a node and a cell hold (`warp-plan.ts`).
 * The samples' alpha is 255, so the fourth lane adds up the weight. Where one photograph alone shows a part of the map: `warp-alone.as`.
 */
import { averageAt, cubicAt, linearAt, PAD } from './warp-samples'

const NODE: usize = 32
const CELL: usize = 64

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

