import { describe, expect, it } from 'vitest'
import { meanDirection, pathPieces } from '../../lib/journal/map-path'
import { type MapPoint, surfaceOf } from '../../lib/journal/surface'

/**
 * N. I. Fisher, Statistical Analysis of Circular Data (1993), appendix B, as carried by the R package circular (fisherB8, fisherB2, fisherB5).
 * The means of the doubled angles were worked out from the data, apart from this program; the book's own printed answers were not read.
 */
const b8Counts = [
  [0, 16],
  [20, 13],
  [40, 9],
  [60, 14],
  [80, 9],
  [100, 14],
  [120, 12],
  [140, 6],
  [160, 7],
]
const b2 =
  '176 162 49 174 174 49 54 63 59 61 66 104 97 58 121 5 178 3 168 0 18 39 140 63 55 170 169 37 152 73 53 176 72 170 113 56 87 161 164 21 50 6 59 140 54 64 56 38 61 143 51 144 148 44 60 98 86 145 38 168 39 134 68 57 129 68 132 82 54 119 131 50 93 160 127 124 65 108 52 61 86 37 132 83 163 58 144 29 80 172 144 138 10 45 137 11 145 103 69 124 54 121 1 39 111 153 13 5 5 107 104 39 133 36 63 4 21 51 30 52 90 143 13 50 109 12 170 5 14 91 132 12 1'
const b5 =
  '1 1 2 2 3 8 9 12 16 17 19 23 28 28 34 34 35 36 36 37 41 45 49 50 51 53 58 68 69 70 72 72 76 78 80 85 97 97 99 101 105 121 125 126 133 141 143 149 152 156 160 163 167 168 170 171 172 174 175 176'

const degreesOf = (text: string) => text.split(' ').map(Number)

const wideJournal = surfaceOf({ diameter: 2000, width: 1000, fillets: { front: { form: 'step' }, rear: { form: 'step' } } })

/** The direction of a mark that takes one step of 1 mm in each of these directions (angle to the shaft axis). */
function directionOf(degrees: readonly number[]) {
  const vertices: MapPoint[] = [{ theta: 0, s: 500 }]
  for (const deg of degrees) {
    const { theta, s } = vertices[vertices.length - 1]
    vertices.push({ theta: theta + Math.sin((deg * Math.PI) / 180) / 1000, s: s + Math.cos((deg * Math.PI) / 180) })
  }
  return meanDirection(pathPieces(wideJournal, vertices))
}

describe("axial mean direction against Fisher's data sets (Statistical Analysis of Circular Data, appendix B)", () => {
  it.each([
    ['B8, 100 directions', b8Counts.flatMap(([deg, count]) => Array<number>(count).fill(deg)), 100, 47.872, 0.0687],
    ['B2, 133 directions', degreesOf(b2), 133, 35.947, 0.1187],
    ['B5, 60 directions', degreesOf(b5), 60, 19.878, 0.237],
  ])('%s', (_, degrees, count, meanDeg, resultant) => {
    expect(degrees).toHaveLength(count)
    const direction = directionOf(degrees)
    expect(((direction.angle ?? 0) * 180) / Math.PI).toBeCloseTo(meanDeg, 2)
    expect(direction.resultant).toBeCloseTo(resultant, 3)
  })

  it('35 and 355 degrees give 15, not 195 (axial averaging, vignette of the R package tectonicr)', () => {
    expect(((directionOf([35, 355]).angle ?? 0) * 180) / Math.PI).toBeCloseTo(15, 10)
  })

  it('opposed 45 and 135 degrees have no mean (worked out: the doubled angles cancel)', () => {
    const direction = directionOf([45, 135])
    expect(direction.resultant).toBeLessThan(1e-9)
    expect(direction.angle).toBeNull()
  })
})
