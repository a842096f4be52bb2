import { describe, expect, it } from 'vitest'
import { correlationOverMap, mapSpectra } from '../../../lib/photo/plane-correlation'
import type { TextureStrip } from '../../../lib/photo/texture'
import { noiseFrom } from '../../fixtures/render/noise'

const noise = noiseFrom(8)
const [width, height] = [128, 40]
const map: TextureStrip = {
  width,
  height,
  pxPerMm: 2,
  value: Float32Array.from({ length: width * height }, () => noise.normal()),
  mask: Uint8Array.from({ length: width * height }, (_, i) => (i % width < 100 ? 1 : 0)),
}

/** A piece of the map about a place, brighter and with noise. */
function pieceAt(column: number, row: number, half: number) {
  const size = 2 * half + 1
  const texture: TextureStrip = {
    width: size,
    height: size,
    pxPerMm: 2,
    value: new Float32Array(size * size),
    mask: new Uint8Array(size * size),
  }
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      const from = (row + y - half) * width + ((column + x - half + width) % width)
      if (row + y - half < 0 || row + y - half >= height) continue
      texture.value[y * size + x] = 3 * map.value[from] + 0.6 * noise.normal()
      texture.mask[y * size + x] = 1
    }
  }
  return { texture, middleColumn: half, middleRow: half }
}

function best(correlation: Float32Array) {
  const at = correlation.indexOf(Math.max(...correlation))
  return { column: at % width, row: Math.floor(at / width), value: correlation[at] }
}

describe('a piece of texture looked for on the whole map', () => {
  const spectra = mapSpectra(map)

  it('is found where it was cut out, alike by what the noise leaves', () => {
    const found = best(correlationOverMap(spectra, pieceAt(61, 17, 8), 0.5).correlation)
    expect(found).toEqual({ column: 61, row: 17, value: expect.closeTo(3 / Math.hypot(3, 0.6), 1) })
  })

  it('is the plain normalised correlation, summed place by place', () => {
    const piece = pieceAt(30, 20, 6)
    const { correlation, compared } = correlationOverMap(spectra, piece, 0.5)
    const [column, row] = [44, 13]
    let [ab, aa, bb, count] = [0, 0, 0, 0]
    for (let y = 0; y < 13; y++) {
      for (let x = 0; x < 13; x++) {
        const p = piece.texture.value[y * 13 + x]
        const m = (row + y - 6) * width + column + x - 6
        ab += p * map.value[m]
        aa += p * p
        bb += map.value[m] ** 2
        count++
      }
    }
    expect(correlation[row * width + column]).toBeCloseTo(ab / Math.sqrt(aa * bb), 5)
    expect(compared[row * width + column]).toBeCloseTo(count, 5)
  })

  it('is found across the seam of the turn, and not where too little of the map is seen', () => {
    const whole = mapSpectra({ ...map, mask: new Uint8Array(width * height).fill(1) })
    expect(best(correlationOverMap(whole, pieceAt(1, 20, 8), 0.5).correlation)).toMatchObject({ column: 1, row: 20 })
    const { correlation } = correlationOverMap(spectra, pieceAt(61, 17, 8), 0.5)
    expect(correlation[17 * width + 114]).toBe(-1)
  })
})
