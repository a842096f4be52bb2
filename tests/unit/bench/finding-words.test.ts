import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { findingTitle } from '@/components/finding/finding-words'
import { inUnits, reasonRow } from '@/components/finding/reason-words'
import { assess } from '@/lib/finding/assess'
import { readInspection } from '@/lib/journal/read-inspection'

const text = readFileSync(new URL('../../../prisma/demo/inspection.json', import.meta.url), 'utf8')
const read = readInspection(JSON.parse(text))
if (!read.ok) throw new Error('the example shaft cannot be read')
const findings = assess(read.value, {})

describe('the words of findings', () => {
  it('every reason of the example shaft has a line of its own in the table', () => {
    for (const mark of findings.marks)
      for (const reason of mark.reasons) {
        const row = reasonRow(reason, 'mm')
        expect(row.speaks, reason.code).not.toBe('')
        expect(row.source, reason.code).not.toBe('')
      }
  })

  it('never say of a mark that it is good, safe, sound, clear or passes', () => {
    const words = findings.marks.flatMap((mark) => [
      findingTitle(mark),
      ...mark.reasons.map((reason) => JSON.stringify(reasonRow(reason, 'in'))),
    ])
    expect(words.filter((word) => /\b(good|safe|sound|clear|ok|pass(es)?)\b/i.test(word) && !/fit/.test(word))).toEqual([])
  })

  it('lengths within sentences follow the units', () => {
    expect(inUnits('3.74 mm from the rear fillet; up to 5.61 mm counts', 'in')).toBe('0.147 in from the rear fillet; up to 0.221 in counts')
    expect(inUnits('it runs diagonally, 44.2 degrees', 'in')).toBe('it runs diagonally, 44.2 degrees')
  })
})
