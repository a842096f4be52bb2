/**
 * The printed strip as a PDF, vectors throughout, to be printed at 100 %: each piece with its codes, ticks and labels in degrees,
 * FRONT and the diameter, its tongue with the closing mark, and a line of 100 mm to check the print by.
 */
import PDFDocument from 'pdfkit'
import { markerCells } from '../photo/printed-strip-cells'
import { cellsPerSide, markerMiddle, type StripDesign } from '../photo/printed-strip-design'
import { type Paper, type StripPiece, sheets, stripPieces } from './strip-layout'

export type StripSheet = { journalId: string; shaft: string; paper: Paper }

const pointsPerMm = 72 / 25.4
const ink = '#000000'
const white = '#ffffff'
const faint = '#808080'
/** Where a piece begins on its sheet: from the left, and its front edge from the top, mm. */
const atTop = 40
const pieceStep = 34
/** Of what stands on the sheet beside the pieces, mm. */
const margin = 20

export function stripPdf(design: StripDesign, { journalId, shaft, paper }: StripSheet): Promise<Uint8Array> {
  const sheet = sheets[paper]
  const document = new PDFDocument({
    size: [sheet.width * pointsPerMm, sheet.height * pointsPerMm],
    margin: 0,
    compress: true,
    lang: 'en',
    displayTitle: true,
    info: { Title: `Strip for journal ${journalId}, ${millimetres(design.diameter)}`, CreationDate: new Date(0) },
  })
  const pieces = stripPieces(design)
  const longest = Math.max(...pieces.map(({ from, to }) => to - from)) + design.tongue
  const left = (sheet.width - longest) / 2
  heading(document, design, { journalId, shaft, room: sheet.width - 2 * margin })
  pieces.forEach((piece, i) => {
    drawPiece(document, design, piece, { left, front: atTop + i * pieceStep, last: i === pieces.length - 1 })
    const name = pieces.length === 1 ? 'The strip' : `Piece ${i + 1} of ${pieces.length}`
    words(document, `${name}. Cut along its outline; the tongue stays on.`, left, atTop + i * pieceStep + 4, 2.6)
  })
  const below = atTop + pieces.length * pieceStep
  checkLine(document, margin, below + 4)
  for (const [i, step] of steps(pieces.length, design).entries()) words(document, `${i + 1}.  ${step}`, margin, below + 16 + i * 6, 3.2)
  return finished(document)
}

type Place = { left: number; front: number; last: boolean }

/** The piece with its rear edge up, front edge at `front` mm from the top of the sheet. */
function drawPiece(document: PDFDocument, design: StripDesign, piece: StripPiece, { left, front, last }: Place): void {
  const { height, module, marker, tongue } = design
  const x = (along: number) => left + along - piece.from
  const y = (up: number) => front - up
  const end = x(piece.to)
  box(document, left, y(height), end - left, height, white)
  for (let place = 0; place < design.markers; place++) {
    const middle = markerMiddle(design, place)
    if (middle.x < piece.from || middle.x > piece.to) continue
    const cells = markerCells(design.firstId + place)
    const cornerX = x(middle.x) - marker / 2
    const cornerY = y(middle.y) - marker / 2
    box(document, cornerX, cornerY, marker, marker, ink)
    cells.forEach((row, r) => {
      for (let c = 0; c < cellsPerSide; c++) {
        if (!row[c]) continue
        let run = 1
        while (row[c + run]) run++
        box(document, cornerX + c * module, cornerY + r * module, run * module, module, white)
        c += run
      }
    })
  }
  drawTicks(document, design, piece, x, y)
  // the tongue, with the mark that the beginning of the next piece must meet
  line(document, end, y(0), end, y(height), 0.2, ink)
  box(document, end, y(height / 2) - 0.4, 2.4, 0.8, ink)
  words(document, last ? '0' : 'next', end + 3, y(height / 2) - 0.9, 1.8)
  outline(document, left, y(height), end - left + tongue, height)
}

/** A tick each 5 degrees along the front edge, a label each 30; between the labels which edge this is and what the strip is for. */
function drawTicks(
  document: PDFDocument,
  { diameter, length, tickBand }: StripDesign,
  piece: StripPiece,
  x: (along: number) => number,
  y: (up: number) => number,
): void {
  const between = ['FRONT', millimetres(diameter), 'FRONT', 'print at 100 %']
  const sector = length / 12
  for (let degrees = 0; degrees < 360; degrees += 5) {
    const along = (degrees / 360) * length
    if (along < piece.from - 1e-9 || along >= piece.to - 1e-9) continue
    const labelled = degrees % 30 === 0
    line(document, x(along), y(0), x(along), y(labelled ? tickBand : tickBand * 0.4), 0.15, ink)
    if (!labelled) continue
    words(document, `${degrees}`, x(along) + 0.25, y(tickBand) + 0.05, labelMm)
    const text = between[(degrees / 30) % between.length]
    const room = sector - labelRoomMm
    const size = Math.min(labelMm, (labelMm * room) / (widthOf(document, text, labelMm) || 1))
    if (along + sector <= piece.to + 1e-9) words(document, text, x(along) + labelRoomMm, y(tickBand) + 0.05, size)
  }
}

/** Height of the words along the front edge, above the short ticks, and what a label of three figures takes, mm. */
const labelMm = 0.75
const labelRoomMm = 2.2

function heading(
  document: PDFDocument,
  design: StripDesign,
  { journalId, shaft, room }: { journalId: string; shaft: string; room: number },
): void {
  const title = `Strip for journal ${journalId}${shaft ? ` of ${shaft}` : ''}`
  words(document, fitted(document, inLatin(title), 5, room), margin, 10, 5)
  const sizes = `diameter ${millimetres(design.diameter)} (${(design.diameter / 25.4).toFixed(4)} in), ${design.markers} codes, ${millimetres(design.length)} round, ${millimetres(design.height)} high`
  words(document, `${sizes}. Print at 100 %, not fitted to the page.`, margin, 17.5, 3.2)
}

/** The font that every PDF reader has knows no other letters. */
function inLatin(text: string): string {
  return text.replace(/[^\x20-\x7e\xa0-\xff]/g, '?')
}

function fitted(document: PDFDocument, text: string, size: number, room: number): string {
  let shown = text
  while (shown.length > 1 && widthOf(document, shown, size) > room) shown = `${shown.slice(0, -4)}...`
  return shown
}

function steps(pieces: number, { tongue }: StripDesign): string[] {
  return [
    'Measure the line above. If it is not 100 mm long, print again at 100 %.',
    ...(pieces > 1 ? ['Lay the beginning of piece 2 on the tongue of piece 1, its edge on the line, and glue it.'] : []),
    'Wrap it once round the clean, dry journal, the edge that says FRONT towards the free end of the shaft, close to a fillet, not on it.',
    `Lay its beginning on the tongue (${tongue} mm): its edge must meet the line. A gap or an overlap: write it down and type it in the set-up.`,
    'Photograph the journal with three codes or more in each picture, in one of them the place where the strip closes.',
    'In one picture pick the oil hole and a ring; they fix the strip for all of them.',
  ]
}

function checkLine(document: PDFDocument, left: number, top: number): void {
  line(document, left, top, left + 100, top, 0.2, ink)
  line(document, left, top - 2, left, top + 2, 0.2, ink)
  line(document, left + 100, top - 2, left + 100, top + 2, 0.2, ink)
  words(document, 'This line is 100 mm long (3.937 in).', left + 103, top - 1.3, 3.2)
}

function box(document: PDFDocument, x: number, y: number, width: number, height: number, colour: string): void {
  document.rect(x * pointsPerMm, y * pointsPerMm, width * pointsPerMm, height * pointsPerMm).fill(colour)
}

function line(document: PDFDocument, x1: number, y1: number, x2: number, y2: number, width: number, colour: string): void {
  document
    .lineWidth(width * pointsPerMm)
    .moveTo(x1 * pointsPerMm, y1 * pointsPerMm)
    .lineTo(x2 * pointsPerMm, y2 * pointsPerMm)
    .stroke(colour)
}

function outline(document: PDFDocument, x: number, y: number, width: number, height: number): void {
  document
    .lineWidth(0.1 * pointsPerMm)
    .rect(x * pointsPerMm, y * pointsPerMm, width * pointsPerMm, height * pointsPerMm)
    .stroke(faint)
}

/** `size`: height of the capitals and figures, about; `y` their top, mm. */
function words(document: PDFDocument, text: string, x: number, y: number, size: number): void {
  document
    .font('Helvetica')
    .fontSize(size * pointsPerMm * capitalsToSize)
    .fillColor(ink)
    .text(text, x * pointsPerMm, y * pointsPerMm, { lineBreak: false })
}

function widthOf(document: PDFDocument, text: string, size: number): number {
  return (
    document
      .font('Helvetica')
      .fontSize(size * pointsPerMm * capitalsToSize)
      .widthOfString(text) / pointsPerMm
  )
}

/** Font size over the height of its capitals, taken a little small: 1 / 0.718 for Helvetica. */
const capitalsToSize = 1.2

function millimetres(length: number): string {
  return `${Number(length.toFixed(2))} mm`
}

function finished(document: PDFDocument): Promise<Uint8Array> {
  return new Promise((resolve) => {
    const chunks: Uint8Array[] = []
    document.on('data', (chunk) => chunks.push(chunk))
    document.on('end', () => resolve(Buffer.concat(chunks)))
    document.end()
  })
}
