import { describe, expect, it } from 'vitest'
import { halfStrip, textureOf } from '../../../lib/photo/texture'
import { greyStrip, groundOfSeed, pxPerMm, strip, stripHeight, stripWidth } from './ground-strips'

const spread = (values: Float32Array, mask: Uint8Array) => {
  let sum = 0
  let count = 0
  values.forEach((value, i) => {
    if (!mask[i]) return
    sum += value * value
    count++
  })
  return Math.sqrt(sum / count)
}
const flat = () => 150

describe('the texture of a strip', () => {
  it('drops lay that runs all the way around and light that changes slowly', () => {
    const lay = strip({ ground: (_, s) => 150 + 10 * Math.sin(9 * s), facingDeg: 0 })
    const light = strip({ ground: (theta) => 150 + 40 * Math.sin(2 * theta), facingDeg: 0 })
    const stained = strip({ ground: groundOfSeed(3), facingDeg: 0 })
    expect(spread(stained.value, stained.mask)).toBeGreaterThan(0.7)
    for (const { value, mask } of [lay, light]) expect(spread(value, mask)).toBeLessThan(0.75 * spread(stained.value, stained.mask))
  })

  it('drops what lamps draw along the axis', () => {
    const ground = groundOfSeed(3)
    const [plain, lit] = [strip({ ground, facingDeg: 0 }), strip({ ground, facingDeg: 0, lamps: 40 })]
    let [both, one, other] = [0, 0, 0]
    plain.value.forEach((value, i) => {
      both += value * lit.value[i]
      one += value * value
      other += lit.value[i] ** 2
    })
    expect(both / Math.sqrt(one * other)).toBeGreaterThan(0.9)
  })

  it('is the same whatever the brightness of the photograph', () => {
    const grey = greyStrip({ ground: groundOfSeed(4), facingDeg: 0 })
    const dimmed = { ...grey, grey: grey.grey.map((value) => (value + 8) * 0.6 - 8) }
    const [one, other] = [textureOf(grey), textureOf(dimmed)]
    let most = 0
    one.value.forEach((value, i) => {
      most = Math.max(most, Math.abs(value - other.value[i]))
    })
    expect(most).toBeLessThan(1e-3)
  })

  it('shows nothing of what is not seen, and nothing leaks from there', () => {
    const grey = greyStrip({ ground: groundOfSeed(5), facingDeg: 0 })
    const other = { ...grey, grey: grey.grey.map((value, i) => (grey.mask[i] ? value : 255)) }
    expect(textureOf(other).value).toEqual(textureOf(grey).value)
  })

  it('leaves out the mouth of an oil hole with what lies about it, not a pit or a scratch', () => {
    const holed = strip({ ground: flat, facingDeg: 0, hole: { angleDeg: 10, s: 12, radius: 3 } })
    const bare = strip({ ground: flat, facingDeg: 0 })
    const lost = bare.mask.reduce((sum, seen, i) => sum + (seen && !holed.mask[i] ? 1 : 0), 0) / pxPerMm ** 2
    expect(lost).toBeGreaterThan(Math.PI * 3 ** 2)
    expect(lost).toBeLessThan(Math.PI * 6 ** 2)
    const pitted = strip({ ground: flat, facingDeg: 0, hole: { angleDeg: 10, s: 12, radius: 0.5 } })
    expect(pitted.mask).toEqual(bare.mask)
  })

  it('halves: means of two by two, seen where all four are', () => {
    const whole = strip({ ground: groundOfSeed(6), facingDeg: 0 })
    const half = halfStrip(whole)
    expect([half.width, half.height, half.pxPerMm]).toEqual([stripWidth / 2, stripHeight / 2, pxPerMm / 2])
    const at = (stripHeight >> 2) * half.width + (half.width >> 1)
    const from = 2 * (stripHeight >> 2) * stripWidth + 2 * (half.width >> 1)
    const four = [from, from + 1, from + stripWidth, from + stripWidth + 1]
    expect(half.mask[at]).toBe(1)
    expect(half.value[at]).toBeCloseTo(four.reduce((sum, i) => sum + whole.value[i], 0) / 4, 6)
  })
})
