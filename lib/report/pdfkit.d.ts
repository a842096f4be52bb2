/** The parts of pdfkit 0.20.2 that are used; it ships no types. Lengths in points. */
declare module 'pdfkit' {
  export default class PDFDocument {
    constructor(options: {
      size: [number, number]
      margin: number
      compress: boolean
      lang: string
      displayTitle: boolean
      info: { Title: string; CreationDate: Date }
    })
    addPage(): this
    on(event: 'data', take: (chunk: Uint8Array) => void): this
    on(event: 'end', done: () => void): this
    end(): void
    save(): this
    restore(): this
    translate(x: number, y: number): this
    rotate(degrees: number): this
    rect(x: number, y: number, width: number, height: number): this
    moveTo(x: number, y: number): this
    lineTo(x: number, y: number): this
    lineWidth(width: number): this
    dash(length: number, options: { space: number }): this
    undash(): this
    fill(colour: string): this
    stroke(colour: string): this
    fillColor(colour: string): this
    font(name: string): this
    fontSize(size: number): this
    widthOfString(text: string): number
    text(text: string, x: number, y: number, options: { lineBreak: boolean; width?: number }): this
  }
}
