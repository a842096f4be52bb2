import { describe, expect, it } from 'vitest'
import { typedMark } from '@/components/editor/typed-mark'
import { journalFindings } from '@/components/finding/journal-findings'
import { notAligned } from '@/components/photo/aligned-photos'
import { surfaceOf } from '@/lib/journal/surface'
import { benchDocument, pin } from '../editor/bench-fixture'

const surface = surfaceOf(pin)
const measure = { angleDeg: 200, axial: 12, length: 10, toShaftDeg: 30, hand: 'right', plusMinus: 0.5 } as const

describe('a mark typed as measured with rule and protractor', () => {
  it('is found again with the angle and the length that were typed, and leans to the typed hand', () => {
    for (const hand of ['right', 'left'] as const) {
      const mark = typedMark('P1-a', 'P1', surface, { ...measure, hand })
      if (!mark.ok) throw new Error(mark.reason.code)
      const finding = journalFindings(benchDocument([mark.value]), pin, notAligned).marks[0]
      expect(finding?.angleToAxisDeg).toBeCloseTo(30, 6)
      expect(finding?.lengthMm).toBeCloseTo(10, 6)
      expect(Math.sign(finding?.signedAngleDeg ?? 0)).toBe(hand === 'right' ? 1 : -1)
    }
  })

  it('keeps what the rule reads to as its uncertainty: 95 % is 1.96 sigma', () => {
    const mark = typedMark('P1-a', 'P1', surface, measure)
    expect(mark.ok && mark.value.sigmaMm).toBeCloseTo(0.5 / 1.96, 12)
  })

  it('a long one around the journal is cut into steps of less than half a turn', () => {
    const mark = typedMark('P1-a', 'P1', surface, { ...measure, length: 180, toShaftDeg: 90 })
    const angles = mark.ok ? (mark.value.points ?? []).map((point) => point.angleDeg) : []
    expect(Math.max(...angles.slice(1).map((angle, index) => angle - (angles[index] ?? 0)))).toBeLessThan(180)
    expect((angles.at(-1) ?? 0) - (angles[0] ?? 0)).toBeCloseTo((180 / 30) * (180 / Math.PI), 9)
  })

  it('one that would end beyond the cheek is refused with the room there is', () => {
    const mark = typedMark('P1-a', 'P1', surface, { ...measure, toShaftDeg: 0, length: 100 })
    expect(mark).toEqual({
      ok: false,
      reason: { code: 'ends-off-journal', roomMm: expect.closeTo(surface.totalS - (12 - 3 + (3 * Math.PI) / 2), 9) },
    })
  })

  it('one that begins beyond a cheek, has no length or an impossible angle is refused', () => {
    expect(typedMark('P1-a', 'P1', surface, { ...measure, axial: 41 })).toMatchObject({ reason: { code: 'begins-off-journal' } })
    expect(typedMark('P1-a', 'P1', surface, { ...measure, length: 0 })).toMatchObject({ reason: { code: 'no-length' } })
    expect(typedMark('P1-a', 'P1', surface, { ...measure, toShaftDeg: 91 })).toMatchObject({ reason: { code: 'bad-angle' } })
  })
})
