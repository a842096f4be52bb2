/** Suggested lines that lie on drawn marks are no news; what sticks out, runs beside or crosses them is. */
import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../../lib/journal/surface'
import { isAlreadyDrawn } from '../../../lib/trace/already-drawn'

const tangent = { form: 'tangent', radius: 3 } as const
const surface = surfaceOf({ diameter: 60, width: 40, fillets: { front: { ...tangent, sigma: 0.1 }, rear: { ...tangent, sigma: 0.1 } } })
/** mm around at the zero line, and along. */
const at = (around: number, s: number) => ({ theta: around / 30, s })
const line = { closed: false, vertices: [at(10, 15), at(20, 25)] }

describe('a suggested line and the marks already drawn', () => {
  it('is left out where it lies along one, also over the seam at 0 degrees', () => {
    expect(isAlreadyDrawn(surface, [at(10.3, 15), at(15, 20.4), at(20.3, 25)], [line])).toBe(true)
    const seam = { closed: false, vertices: [at(-5, 20), at(5, 20)] }
    expect(isAlreadyDrawn(surface, [at(2 * Math.PI * 30 - 5, 20.2), at(2 * Math.PI * 30 + 5, 20.2)], [seam])).toBe(true)
  })

  it('is news where it goes on beyond it, lies beside it or crosses it', () => {
    expect(isAlreadyDrawn(surface, [at(10, 15), at(22, 27)], [line])).toBe(false)
    expect(isAlreadyDrawn(surface, [at(12, 15), at(22, 25)], [line])).toBe(false)
    expect(isAlreadyDrawn(surface, [at(10, 25), at(20, 15)], [line])).toBe(false)
    expect(isAlreadyDrawn(surface, [at(10, 15), at(20, 25)], [])).toBe(false)
  })

  it('is left out inside a patch', () => {
    const patch = { closed: true, vertices: [at(5, 10), at(25, 10), at(25, 30), at(5, 30)] }
    expect(isAlreadyDrawn(surface, [at(8, 12), at(22, 28)], [patch])).toBe(true)
    expect(isAlreadyDrawn(surface, [at(8, 12), at(30, 30)], [patch])).toBe(false)
  })
})
