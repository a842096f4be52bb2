/** How a printed strip lies on the sheets: in one piece or two, each with a tongue that goes under the beginning of the next. */
import type { StripDesign } from '../photo/printed-strip-design'

export type Paper = 'a4' | 'letter'
/** Sheets lying crosswise: width, height, mm (ISO 216; ANSI/ASME Y14.1 A). */
export const sheets: Record<Paper, { width: number; height: number }> = {
  a4: { width: 297, height: 210 },
  letter: { width: 279.4, height: 215.9 },
}

/** From where to where along the strip, mm; the tongue lies beyond `to`. */
export type StripPiece = { from: number; to: number }

/** Longest piece with its tongue, mm: fits both papers with room for the printer's edge. */
export const longestPiece = 262

export function stripPieces({ length, pitch, markers, tongue }: StripDesign): StripPiece[] {
  if (length + tongue <= longestPiece) return [{ from: 0, to: length }]
  const cut = Math.ceil(markers / 2) * pitch
  return [
    { from: 0, to: cut },
    { from: cut, to: length },
  ]
}
