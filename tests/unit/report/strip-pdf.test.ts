/** The printed strip's sheet, read back from the operators of its PDF and compared with the renderer's layout. */
import { inflateSync } from 'node:zlib'
import { describe, expect, it } from 'vitest'
import { stripDesign } from '../../../lib/photo/printed-strip-design'
import { type Paper, sheets, stripPieces } from '../../../lib/report/strip-layout'
import { stripPdf } from '../../../lib/report/strip-pdf'
import { layoutFor } from '../../fixtures/render/strip-band'

const mmPerPoint = 25.4 / 72

type Box = { x: number; y: number; width: number; height: number }

async function sheetOf(diameter: number, paper: Paper) {
  const design = stripDesign(diameter)
  if (!design) throw new Error('no design')
  const bytes = Buffer.from(await stripPdf(design, { journalId: 'P1', shaft: 'S1', paper }))
  const text = bytes.toString('latin1')
  const drawn = [...text.matchAll(/stream\r?\n([\s\S]*?)endstream/g)]
    .map(([, stream]) => inflateSync(Buffer.from(stream, 'latin1')).toString('latin1'))
    .join('\n')
  const media = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(text)
  const boxes = [...drawn.matchAll(/([\d.-]+) ([\d.-]+) ([\d.-]+) ([\d.-]+) re/g)].map(([, ...numbers]): Box => {
    const [x, y, width, height] = numbers.map((one) => Number(one) * mmPerPoint)
    return { x, y, width, height }
  })
  const lines = [...drawn.matchAll(/([\d.-]+) ([\d.-]+) m\n([\d.-]+) ([\d.-]+) l/g)].map(([, ...numbers]) =>
    numbers.map((one) => Number(one) * mmPerPoint),
  )
  return { design, bytes, media: media?.slice(1).map((one) => Number(one) * mmPerPoint), boxes, lines, text }
}

describe('the sheet', () => {
  it.each([
    ['a4', 57.15],
    ['letter', 35],
    ['a4', 130],
    ['letter', 135],
  ] as const)('on %s for %d mm: every code where it belongs, a line of 100 mm, nothing beyond the paper', async (paper, diameter) => {
    const { boxes, lines, media, design } = await sheetOf(diameter, paper)
    expect(media?.[0]).toBeCloseTo(sheets[paper].width, 2)
    expect(media?.[1]).toBeCloseTo(sheets[paper].height, 2)
    const layout = layoutFor(diameter)
    const codes = boxes.filter(
      ({ width, height }) => Math.abs(width - 8 * layout.module) < 1e-3 && Math.abs(height - 8 * layout.module) < 1e-3,
    )
    expect(codes).toHaveLength(layout.markers)
    const outlines = boxes.filter(({ width, height }) => Math.abs(height - layout.height) < 1e-3 && width > 30)
    const pieces = stripPieces(design)
    expect(outlines).toHaveLength(2 * pieces.length)
    let place = 0
    for (const { from, to } of pieces) {
      const outline = outlines.find(
        ({ width, y }) => Math.abs(width - (to - from) - 8) < 1e-3 && codes[place].y > y && codes[place].y < y + layout.height,
      )
      expect(outline, 'with its tongue of 8 mm').toBeDefined()
      for (; place < layout.markers && (place + 0.5) * layout.pitch < to; place++) {
        const middle = codes[place].x + 4 * layout.module - (outline?.x ?? 0)
        expect(middle, `code ${place}`).toBeCloseTo((place + 0.5) * layout.pitch - from, 3)
      }
      expect((outline?.x ?? 0) + (outline?.width ?? 0)).toBeLessThan(sheets[paper].width - 5)
      expect(outline?.x).toBeGreaterThan(5)
    }
    expect(place).toBe(layout.markers)
    const checks = lines.filter(([x1, y1, x2, y2]) => y1 === y2 && Math.abs(Math.abs(x2 - x1) - 100) < 1e-3)
    expect(checks).toHaveLength(1)
  })

  it('is one piece up to 262 mm with its tongue, two beyond, cut between codes', () => {
    expect(stripPieces(stripDesign(80) as never)).toHaveLength(1)
    expect(stripPieces(stripDesign(81) as never)).toHaveLength(2)
    const design = stripDesign(130)
    const [first, second] = stripPieces(design as never)
    expect(first.to).toBe(second.from)
    expect((first.to / (design?.pitch ?? 1)) % 1).toBeCloseTo(0, 9)
  })

  it('is the same bytes each time, vectors without a picture', async () => {
    const [first, second] = [await sheetOf(57.15, 'a4'), await sheetOf(57.15, 'a4')]
    expect(first.bytes.equals(second.bytes)).toBe(true)
    expect(first.text).not.toContain('/Subtype /Image')
  })
})
