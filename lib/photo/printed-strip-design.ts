/**
 * The printed strip: a paper band of square codes wrapped once round a journal, so that a photograph of it needs no picks.
 * Codes of the open dictionary ARUCO_MIP_36h12 (S. Garrido-Jurado et al., "Generation of fiducial marker dictionaries using mixed integer
 * linear programming", 2016). Flat, in mm: x along the strip, y from its front edge to its rear edge; with the rear edge up
 * x runs to the right and the codes stand upright. One code's number names the strip's class of diameters and its place along it.
 */
export type StripDesign = {
  /** The journal's diameter that it is printed for, and the thickness of the paper, mm. */
  diameter: number
  thickness: number
  /** Codes in one turn; they bear the numbers firstCode, firstCode + 1, … */
  markers: number
  firstId: number
  /** Once round the paper's middle of turn: pi (D + t), mm. */
  length: number
  pitch: number
  /** Side of a code's cell, of the whole code (8 cells), and of the white around it, mm. */
  module: number
  marker: number
  quiet: number
  /** Height of the band of ticks along the front edge, mm. */
  tickBand: number
  height: number
  /** What is glued under the other end, mm. */
  tongue: number
}

/** A place on the flat strip, mm. */
export type StripPoint = { x: number; y: number }

/** Largest diameter of each class, mm, with how many codes go round and the first code's number. */
const classes = [
  { upTo: 44, markers: 20, firstId: 0 },
  { upTo: 62, markers: 30, firstId: 20 },
  { upTo: 90, markers: 40, firstId: 50 },
  { upTo: 135, markers: 60, firstId: 90 },
] as const

/** Diameters that a strip is made for, mm: below, the codes' cells shrink to a few printer dots. */
export const stripDiameters = { least: 15, most: 135 } as const

export const usualPaperMm = 0.1
/** A dot of a printer with 600 dots to the inch, mm. */
const printerDot = 25.4 / 600
const mostDots = 14
/** Cells along a code's side, its black border of one cell counted. */
export const cellsPerSide = 8

/** The layout for a journal's diameter; null outside what a strip is made for. */
export function stripDesign(diameter: number, thickness: number = usualPaperMm): StripDesign | null {
  const found = classes.find(({ upTo }) => diameter <= upTo)
  if (!found || !(diameter >= stripDiameters.least)) return null
  const length = Math.PI * (diameter + thickness)
  const pitch = length / found.markers
  const module = Math.min(mostDots, Math.floor((0.8 * pitch) / cellsPerSide / printerDot)) * printerDot
  const marker = cellsPerSide * module
  const quiet = 1.2 * module
  const tickBand = 1.5
  return {
    diameter,
    thickness,
    markers: found.markers,
    firstId: found.firstId,
    length,
    pitch,
    module,
    marker,
    quiet,
    tickBand,
    height: tickBand + 2 * quiet + marker,
    tongue: 8,
  }
}

/** Which code along the strip a number is, from 0; null for a number of another class. */
export function placeOfId(design: StripDesign, id: number): number | null {
  const place = id - design.firstId
  return place >= 0 && place < design.markers ? place : null
}

/** Middle of the code at a place along the strip. */
export function markerMiddle(design: StripDesign, place: number): StripPoint {
  return { x: (place + 0.5) * design.pitch, y: design.tickBand + design.quiet + design.marker / 2 }
}

/** Corners of a code grown by `growth` on every side: its top left, then clockwise; its top lies towards the rear edge. */
export function markerCorners(design: StripDesign, place: number, growth = 0): [StripPoint, StripPoint, StripPoint, StripPoint] {
  const { x, y } = markerMiddle(design, place)
  const half = design.marker / 2 + growth
  return [
    { x: x - half, y: y + half },
    { x: x + half, y: y + half },
    { x: x + half, y: y - half },
    { x: x - half, y: y - half },
  ]
}
