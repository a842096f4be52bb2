/**
 * Lengths as people in a shop write them, and as the page prints them. Read: `57.15`, `57,15`, `2 1/4`, `2-1/4"`, `2.250 in`, `.0005`,
 * `5 thou`, `2.3730 1/2`. Written: mm to 0.01, inch to 0.001, micrometer readings to 0.001 mm or 0.0001 in.
 * One inch is 25.4 mm exactly (international inch, 1959).
 */
import type { Units } from './inspection'
import { done, failed, type Result } from './result'

export const mmPerInch = 25.4

export type LengthKind = 'length' | 'reading'
export type LengthFailure =
  | { code: 'empty' }
  | { code: 'not-a-length'; text: string }
  | { code: 'divided-by-zero'; text: string }
  /** "1,234" may be 1.234 or 1234. */
  | { code: 'two-separators'; text: string }
  | { code: 'foreign-unit'; unit: string }

/**
 * Reads a length as typed.
 * @param text what a person typed.
 * @param units taken where the text names none.
 * @returns the length in mm, or why it is none. A sign is read; whether a length may be negative is for the field to say.
 */
export function parseLength(text: string, units: Units): Result<number, LengthFailure> {
  const tidy = tidied(text)
  if (tidy === '') return failed({ code: 'empty' })
  const parts = /^([+-]?)\s*([^a-zμ"°%]*?)\s*("|[a-zμ°%][a-zμ.]*)?$/u.exec(tidy)
  if (!parts) return failed({ code: 'not-a-length', text })
  const [, sign, digits = '', suffix] = parts
  const scale = suffix === undefined ? scaleOf[units] : unitScales[suffix.replace(/\.$/, '')]
  if (scale === undefined)
    return suffix !== undefined && digits !== '' ? failed({ code: 'foreign-unit', unit: suffix }) : failed({ code: 'not-a-length', text })
  const amount = parseAmount(digits, text)
  if (!amount.ok) return amount
  const mm = (sign === '-' ? -1 : 1) * scaled(amount.value, scale)
  return Number.isFinite(mm) ? done(mm) : failed({ code: 'not-a-length', text })
}

/** One spelling for what keyboards and phones write: vulgar fractions, typographic quotes and minus, a fraction slash. */
function tidied(text: string): string {
  return text
    .replaceAll(/[\u2033\u201c\u201d]|''/g, '"')
    .replaceAll(/(\d)(?=[\u00bc-\u00be\u2150-\u215e])/g, '$1 ')
    .normalize('NFKC')
    .replaceAll('\u2044', '/')
    .replaceAll('\u2212', '-')
    .trim()
    .toLowerCase()
}

const scaleOf: Record<Units, number> = { mm: 1, in: mmPerInch }
const unitScales: Record<string, number> = {
  mm: 1,
  millimetre: 1,
  millimeter: 1,
  cm: 10,
  μm: 0.001,
  um: 0.001,
  in: mmPerInch,
  inch: mmPerInch,
  inches: mmPerInch,
  '"': mmPerInch,
  thou: mmPerInch / 1000,
}

/** Divides by a whole number where one can: 5 µm is then 0.005 exactly, not 5 times the double nearest to 0.001. */
function scaled(amount: number, scale: number): number {
  if (scale === 0.001) return amount / 1000
  if (scale === mmPerInch / 1000) return (amount * mmPerInch) / 1000
  return amount * scale
}

function parseAmount(digits: string, text: string): Result<number, LengthFailure> {
  const plain = /^(\d+|\d*[.,]\d+|\d+[.,])$/.exec(digits)
  if (plain) return done(toNumber(digits))
  if (/^[\d.,]*$/.test(digits) && /[.,].*[.,]/.test(digits)) return failed({ code: 'two-separators', text })
  const fraction = /^(\d+)\s*\/\s*(\d+)$/.exec(digits)
  if (fraction) return ratio(fraction[1] ?? '', fraction[2] ?? '', text)
  const whole = /^(\d+)\s*[\s-]\s*(\d+)\s*\/\s*(\d+)$/.exec(digits)
  if (whole) {
    const part = ratio(whole[2] ?? '', whole[3] ?? '', text)
    return part.ok ? done(Number(whole[1]) + part.value) : part
  }
  // A fraction behind decimals is a fraction of the last decimal: 2.373 1/2 is two, three hundred seventy-three and a half thousandths.
  const behind = /^(\d*)[.,](\d+)\s*[\s-]\s*(\d+)\s*\/\s*(\d+)$/.exec(digits)
  if (behind) {
    const part = ratio(behind[3] ?? '', behind[4] ?? '', text)
    if (!part.ok) return part
    const decimals = behind[2] ?? ''
    return done((Number(`${behind[1]}${decimals}`) + part.value) / 10 ** decimals.length)
  }
  return failed({ code: 'not-a-length', text })
}

function ratio(above: string, below: string, text: string): Result<number, LengthFailure> {
  return Number(below) === 0 ? failed({ code: 'divided-by-zero', text }) : done(Number(above) / Number(below))
}

function toNumber(digits: string): number {
  return Number(digits.replace(',', '.'))
}

/** The sentence for a length that could not be read: fault and remedy. */
export function lengthFailureSentence(failure: LengthFailure, units: Units): string {
  const example = units === 'mm' ? '57.15' : '2.250 or 2 1/4'
  switch (failure.code) {
    case 'empty':
      return `Nothing typed yet. Type a length such as ${example}.`
    case 'not-a-length':
      return `“${failure.text}” is not a length. Type a number such as ${example}.`
    case 'divided-by-zero':
      return `“${failure.text}” divides by zero. Look at the fraction again.`
    case 'two-separators':
      return `“${failure.text}” has two separators. Leave out the one for thousands.`
    case 'foreign-unit':
      return `The unit “${failure.unit}” is not known here. Use mm or in.`
  }
}

/** Decimals that a length is printed with. */
export function decimalsFor(units: Units, kind: LengthKind): number {
  if (kind === 'reading') return units === 'mm' ? 3 : 4
  return units === 'mm' ? 2 : 3
}

export function fromMm(mm: number, units: Units): number {
  return units === 'mm' ? mm : mm / mmPerInch
}

/** A length without its unit: `57.15`, `2.250`. */
export function formatLengthBare(mm: number, units: Units, kind: LengthKind = 'length'): string {
  return fixed(fromMm(mm, units), decimalsFor(units, kind))
}

/** A length with its unit: `57.15 mm`, `2.250 in`. */
export function formatLength(mm: number, units: Units, kind: LengthKind = 'length'): string {
  return `${formatLengthBare(mm, units, kind)} ${units}`
}

/**
 * A measured length with its uncertainty: `3.95 ± 0.05 mm`.
 * @param sigmaMm one standard deviation; printed is 1.96 of them, 95 %, rounded up so that it never claims more than is known.
 */
export function formatMeasured(mm: number, sigmaMm: number, units: Units, kind: LengthKind = 'length'): string {
  const decimals = decimalsFor(units, kind)
  return `${fixed(fromMm(mm, units), decimals)} ± ${roundedUp(1.96 * fromMm(sigmaMm, units), decimals)} ${units}`
}

/** An angle to 0.1°: `45.3°`. */
export function formatAngle(angleDeg: number): string {
  return `${fixed(angleDeg, 1)}°`
}

/** A measured angle with its 95 % uncertainty: `45.3° ± 0.5°`. */
export function formatMeasuredAngle(angleDeg: number, sigmaDeg: number): string {
  return `${fixed(angleDeg, 1)}° ± ${roundedUp(1.96 * sigmaDeg, 1)}°`
}

/**
 * What a field shows for a stored length: the digits it was typed with where it has few (64ths of an inch have six decimals), else as many
 * as a micrometer gives. A field that nobody touched writes nothing back, so this rounding never reaches the store.
 */
export function formatForField(mm: number, units: Units, kind: LengthKind = 'length'): string {
  const value = fromMm(mm, units)
  const most = units === 'mm' ? 4 : 6
  for (let decimals = decimalsFor(units, kind); decimals <= most; decimals += 1) {
    const text = fixed(value, decimals)
    if (Math.abs(Number(text) - value) < 1e-9) return text
  }
  return fixed(value, decimalsFor(units, 'reading'))
}

/** Never "-0.00". */
function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals)
  return Number(text) === 0 ? (0).toFixed(decimals) : text
}

function roundedUp(value: number, decimals: number): string {
  const step = 10 ** decimals
  return (Math.ceil(value * step - 1e-9) / step).toFixed(decimals)
}
