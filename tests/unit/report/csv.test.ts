/** Tables: RFC 4180, and nothing that a spreadsheet would run. */
import { describe, expect, it } from 'vitest'
import { csvOf } from '../../../lib/report/csv'

describe('a table', () => {
  it('quotes commas, quotes and line ends, and ends lines with CRLF (RFC 4180, section 2)', () => {
    expect(
      csvOf(
        ['a', 'b'],
        [
          ['x, y', 'say "so"'],
          ['one\ntwo', ''],
        ],
      ),
    ).toBe('a,b\r\n"x, y","say ""so"""\r\n"one\ntwo",\r\n')
  })

  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', '=HYPERLINK("http://x","y")'])('makes the text %j no formula', (text) => {
    const [, line] = csvOf(['a'], [[text]]).split('\r\n')
    expect(line).toMatch(/^"?'/)
  })

  it('keeps numbers as numbers, negative ones too, to the last digit', () => {
    expect(csvOf(['a', 'b', 'c'], [[-45.12345678901234, 0.1 + 0.2, null]])).toBe('a,b,c\r\n-45.12345678901234,0.30000000000000004,\r\n')
  })
})
