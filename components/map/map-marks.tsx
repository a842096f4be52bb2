'use client'
/** The marks of a map with their letters, over its ground. */
import type { BenchMark } from './bench-mark'
import { letterPlaces } from './letter-places'
import { MapMark } from './map-mark'
import type { Plate } from './plates'
import { type MapSheet, onSheet, turned, turnsToDraw } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { LetterPlate } from './steel-line'
import { toScreen, type View } from './view'

export function MapMarks({
  sheet,
  view,
  marks,
  plates,
  colours,
}: {
  sheet: MapSheet
  view: View
  marks: readonly BenchMark[]
  /** Values that stand on the drawing; letters keep off them. */
  plates?: readonly Plate[]
  colours: SteelColours
}) {
  return (
    <>
      {marks.map((mark) => (
        <MapMark key={mark.rowId} mark={mark} sheet={sheet} view={view} colours={colours} />
      ))}
      <MapLetters sheet={sheet} view={view} marks={marks} plates={plates} colours={colours} />
    </>
  )
}

function MapLetters({
  sheet,
  view,
  marks,
  plates,
  colours,
}: {
  sheet: MapSheet
  view: View
  marks: readonly BenchMark[]
  plates?: readonly Plate[]
  colours: SteelColours
}) {
  const corner = toScreen(view, { x: 0, y: 0 })
  const frame = { ...corner, width: sheet.size.width * view.scale, height: sheet.size.height * view.scale }
  const lines = marks.map(({ vertices, letter, chosen }) => ({
    points: vertices ? turned(vertices, turnsToDraw(vertices)[0] ?? 0).map((point) => toScreen(view, onSheet(sheet, point))) : [],
    letter,
    chosen,
  }))
  const places = letterPlaces(lines, frame, plates)
  return marks.map((mark, index) => {
    const at = places[index]
    return at ? <LetterPlate key={mark.rowId} at={at} letter={mark.letter} chosen={mark.chosen} colours={colours} /> : null
  })
}
