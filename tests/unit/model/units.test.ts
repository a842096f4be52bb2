/** Lengths as a shop writes them. Expected values are worked by hand from 1 in = 25.4 mm. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Units } from '../../../lib/model/inspection'
import {
  formatAngle,
  formatForField,
  formatLength,
  formatLengthBare,
  formatMeasured,
  formatMeasuredAngle,
  lengthFailureSentence,
  mmPerInch,
  parseLength,
} from '../../../lib/model/units'

function mmOf(text: string, units: Units): number {
  const parsed = parseLength(text, units)
  if (!parsed.ok) throw new Error(`${text}: ${parsed.reason.code}`)
  return parsed.value
}

describe('a length as typed', () => {
  it.each<[string, Units, number]>([
    ['57.15', 'mm', 57.15],
    ['57,15', 'mm', 57.15],
    ['.5', 'mm', 0.5],
    ['12.', 'mm', 12],
    ['57.15 mm', 'in', 57.15],
    ['5.715 cm', 'mm', 57.15],
    ['2.250', 'in', 57.15],
    ['2 1/4', 'in', 57.15],
    ['2-1/4"', 'mm', 57.15],
    ['2¼', 'in', 57.15],
    ['2 1⁄4″', 'mm', 57.15],
    ['2.25 in.', 'mm', 57.15],
    ['2.25 inches', 'mm', 57.15],
    ["1''", 'mm', 25.4],
    ['1/8', 'in', 3.175],
    ['3/16 in', 'mm', 4.7625],
    ['5 thou', 'mm', 0.127],
    ['5 µm', 'in', 0.005],
    ['-0.25', 'mm', -0.25],
    ['−0.25', 'mm', -0.25],
    ['+0.25', 'mm', 0.25],
    ['  63.5  ', 'mm', 63.5],
    ['２５.４', 'mm', 25.4],
  ])('%s in a shop that works in %s is %d mm', (text, units, mm) => {
    expect(mmOf(text, units)).toBeCloseTo(mm, 10)
  })

  it('takes a fraction behind decimals as a fraction of the last decimal', () => {
    expect(mmOf('2.373 1/2', 'in')).toBeCloseTo(2.3735 * 25.4, 10)
    expect(mmOf('2.3730-1/4', 'in')).toBeCloseTo(2.373025 * 25.4, 10)
    expect(mmOf('.000 1/2', 'in')).toBeCloseTo(0.0005 * 25.4, 10)
  })

  it.each<[string, string]>([
    ['', 'empty'],
    ['   ', 'empty'],
    ['about 57', 'not-a-length'],
    ['57 15', 'not-a-length'],
    ['1/2/3', 'not-a-length'],
    ['.', 'not-a-length'],
    ['mm', 'not-a-length'],
    ['NaN', 'not-a-length'],
    ['Infinity', 'not-a-length'],
    ['1e3', 'not-a-length'],
    ['9'.repeat(400), 'not-a-length'],
    ['2 1/0', 'divided-by-zero'],
    ['1,234.5', 'two-separators'],
    ['1.234,5', 'two-separators'],
    ['57 furlongs', 'foreign-unit'],
    ['45°', 'foreign-unit'],
  ])('“%s” is refused as %s', (text, code) => {
    const parsed = parseLength(text, 'mm')
    expect(parsed.ok ? parsed.value : parsed.reason.code).toBe(code)
    if (!parsed.ok) expect(lengthFailureSentence(parsed.reason, 'mm')).toMatch(/\.$/)
  })

  it('never answers anything but a finite number or a reason, whatever is typed', () => {
    fc.assert(
      fc.property(fc.string(), fc.constantFrom<Units>('mm', 'in'), (text, units) => {
        const parsed = parseLength(text, units)
        return !parsed.ok || Number.isFinite(parsed.value)
      }),
      { numRuns: 1000 },
    )
  })
})

describe('round trips', () => {
  const units = fc.constantFrom<Units>('mm', 'in')

  it('a reading typed to the last digit of its micrometer comes back as it was typed', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2_999_999 }), units, (steps, unit) => {
        const text = unit === 'mm' ? (steps / 1000).toFixed(3) : (steps / 10000).toFixed(4)
        expect(formatLengthBare(mmOf(text, unit), unit, 'reading')).toBe(text)
        expect(formatForField(mmOf(text, unit), unit, 'reading')).toBe(text)
      }),
    )
  })

  it('64ths of an inch stand in a field with all their digits', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 640 }), (sixtyFourths) => {
        const mm = mmOf(`${sixtyFourths}/64`, 'in')
        expect(Number(formatForField(mm, 'in'))).toBe(sixtyFourths / 64)
      }),
    )
  })

  it('what is printed is never further from the length than half its last digit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 500, noNaN: true }), units, (mm, unit) => {
        const step = unit === 'mm' ? 0.01 : 0.001 * mmPerInch
        expect(Math.abs(mmOf(formatLength(mm, unit), unit) - mm)).toBeLessThanOrEqual(step / 2 + 1e-9)
      }),
    )
  })
})

describe('printed', () => {
  it('mm to 0.01, inch to 0.001, micrometer to 0.001 mm and 0.0001 in', () => {
    expect(formatLength(57.15, 'mm')).toBe('57.15 mm')
    expect(formatLength(57.15, 'in')).toBe('2.250 in')
    expect(formatLength(73.508, 'mm', 'reading')).toBe('73.508 mm')
    expect(formatLength(60.05068, 'in', 'reading')).toBe('2.3642 in')
  })

  it('never a negative zero', () => {
    expect(formatLengthBare(-0.001, 'mm')).toBe('0.00')
    expect(formatAngle(-0.04)).toBe('0.0°')
  })

  it('the plus-minus is 1.96 sigma, rounded up', () => {
    expect(formatMeasured(3.95, 0.0255, 'mm')).toBe('3.95 ± 0.05 mm')
    expect(formatMeasured(3.95, 0.0256, 'mm')).toBe('3.95 ± 0.06 mm')
    expect(formatMeasured(25.4, 0.0001, 'in')).toBe('1.000 ± 0.001 in')
    expect(formatMeasuredAngle(45.26, 0.25)).toBe('45.3° ± 0.5°')
    expect(formatMeasured(10, 0, 'mm')).toBe('10.00 ± 0.00 mm')
  })
})
