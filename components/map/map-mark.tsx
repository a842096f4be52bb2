'use client'
/** One mark on the map: its line, and its points where they can be taken hold of. Drawn again across the seam. */
import { Group } from 'react-konva'
import { Each } from './each'
import type { BenchMark } from './bench-mark'
import { type MapSheet, onSheet, turned, turnsToDraw } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { MarkLine } from './steel-line'
import { VertexKnob } from './vertex-knob'
import { toScreen, type View } from './view'

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
            <Each of={mark.open ? points : []}>
              {(point, index) => <VertexKnob at={point} chosen={mark.chosenVertex === index} colours={colours} />}
            </Each>
          </Group>
        )
      })}
    </Group>
  )
}
