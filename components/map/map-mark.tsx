'use client'
/** One mark on the map: its line, its letter, and its points where they can be taken hold of. Drawn again across the seam. */
import { Group } from 'react-konva'
import type { BenchMark } from './bench-mark'
import { type MapSheet, onSheet, turned, turnsToDraw } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { LetterPlate, MarkLine } from './steel-line'
import { VertexKnob } from './vertex-knob'
import { type ScreenPoint, toScreen, type View } from './view'

export function MapMark({ mark, sheet, view, colours }: { mark: BenchMark; sheet: MapSheet; view: View; colours: SteelColours }) {
  if (!mark.vertices) return null
  const corner = toScreen(view, { x: 0, y: 0 })
  const clip = { clipX: corner.x, clipY: corner.y, clipWidth: sheet.size.width * view.scale, clipHeight: sheet.size.height * view.scale }
  const turns = turnsToDraw(mark.vertices)
  return (
    <Group {...clip}>
      {turns.map((turn) => {
        const points = turned(mark.vertices ?? [], turn).map((point) => toScreen(view, onSheet(sheet, point)))
        return (
          <Group key={turn}>
            <MarkLine points={points} concern={mark.concern} closed={mark.closed} colours={colours} />
            {mark.open ? points.map((point, index) => <VertexKnob key={`${index}`} at={point} chosen={mark.chosenVertex === index} colours={colours} />) : null}
            {turn === turns[0] ? <LetterPlate at={besideLine(points, corner, clip)} letter={mark.letter} chosen={mark.chosen} colours={colours} /> : null}
          </Group>
        )
      })}
    </Group>
  )
}

/** A place for the letter beside the line's last point, inside the picture. */
export function besideLine(points: readonly ScreenPoint[], corner: ScreenPoint, clip: { clipWidth: number; clipHeight: number }): ScreenPoint {
  const last = points.at(-1) ?? corner
  const before = points.at(-2) ?? last
  const length = Math.hypot(last.x - before.x, last.y - before.y) || 1
  const x = last.x + ((last.x - before.x) / length) * 12 + 14
  const y = last.y + ((last.y - before.y) / length) * 12
  return {
    x: Math.min(corner.x + clip.clipWidth - 13, Math.max(corner.x + 13, x)),
    y: Math.min(corner.y + clip.clipHeight - 12, Math.max(corner.y + 12, y)),
  }
}
