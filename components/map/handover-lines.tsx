'use client'
/** Over the rollout, where a person asked for it: lines where one photograph hands over to the next, and the photographs' names. */
import { useMemo } from 'react'
import { Shape } from 'react-konva'
import { type MapSheet, onSheet } from './map-sheet'
import type { Handovers } from './map-sources'
import type { SteelColours } from './steel-colours'
import { SteelText } from './steel-line'
import { toScreen, type View } from './view'

type Props = { sheet: MapSheet; view: View; handovers: Handovers; colours: SteelColours }

export function HandoverLines({ sheet, view, handovers, colours }: Props) {
  const path = useMemo(() => {
    const lines = new Path2D()
    for (const [from, to] of handovers.lines) {
      const [a, b] = [onSheet(sheet, from), onSheet(sheet, to)]
      lines.moveTo(a.x, a.y)
      lines.lineTo(b.x, b.y)
    }
    return lines
  }, [sheet, handovers])
  return (
    <>
      <Shape
        listening={false}
        stroke={colours.ink}
        fill={colours.halo}
        sceneFunc={(context, shape) => {
          const canvas = context._context as CanvasRenderingContext2D
          canvas.save()
          canvas.translate(view.x, view.y)
          canvas.scale(view.scale, view.scale)
          for (const [colour, width] of [
            [shape.stroke(), 4],
            [shape.fill(), 1.6],
          ] as const) {
            canvas.strokeStyle = colour as string
            canvas.lineWidth = width / view.scale
            canvas.stroke(path)
          }
          canvas.restore()
        }}
      />
      {handovers.names.map(({ name, at }) => (
        <SteelText key={name} at={toScreen(view, onSheet(sheet, at))} text={name} colours={colours} align="center" />
      ))}
    </>
  )
}
