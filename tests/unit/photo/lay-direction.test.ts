import { describe, expect, it } from 'vitest'
import { layDirections } from '../../../lib/photo/lay-direction'
import { noiseFrom } from '../../fixtures/render/noise'

const size = 240

/** Streaks along a direction, with a lamp's broad edge across them and noise. */
function streaked(directionDeg: number, streaks: number, seed = 1) {
  const noise = noiseFrom(seed)
  const across = Array.from({ length: 400 }, () => noise.uniform(-1, 1))
  const [c, s] = [Math.cos((directionDeg * Math.PI) / 180), Math.sin((directionDeg * Math.PI) / 180)]
  const grey = Float32Array.from({ length: size * size }, (_, i) => {
    const [x, y] = [(i % size) - size / 2, Math.floor(i / size) - size / 2]
    const off = (-x * s + y * c + 200) / 2
    const low = Math.floor(off)
    const streak = across[low] + (off - low) * (across[low + 1] - across[low])
    return 120 + streaks * streak + 60 / (1 + Math.exp(-(x * c + y * s) / 4)) + 2 * noise.normal()
  })
  return { width: size, height: size, grey }
}

describe('the direction of the lay', () => {
  it('is found within 6 degrees: the axis lies across the streaks', () => {
    for (const deg of [0, 20, 77, 90, 133, 171]) {
      const { axes, clearness } = layDirections(streaked(deg, 14))
      const axis = (axes[0] * 180) / Math.PI
      const off = axis - (deg + 90) - 180 * Math.round((axis - (deg + 90)) / 180)
      expect(Math.abs(off)).toBeLessThan(6)
      expect(clearness).toBeGreaterThan(1.35)
    }
  })

  it('is not clear where nothing but noise is seen', () => {
    const noise = noiseFrom(5)
    const grey = Float32Array.from({ length: size * size }, () => 120 + 10 * noise.normal())
    expect(layDirections({ width: size, height: size, grey }).clearness).toBeLessThan(1.35)
  })
})
