'use client'
/** Hatching over what was not photographed well: as a draughtsman marks what is not shown. */
import { useMemo } from 'react'
import { Shape } from 'react-konva'
import { type MapSheet, onSheet } from './map-sheet'
import type { SteelColours } from './steel-colours'
import type { UnseenCells } from './unseen-cells'
import type { View } from './view'

const spacing = 9

export function UnseenHatch({ sheet, view, unseen, colours }: { sheet: MapSheet; view: View; unseen: UnseenCells; colours: SteelColours }) {
  const path = useMemo(() => pathOf(sheet, unseen), [sheet, unseen])
  return (
    <Shape
      stroke={colours.ink}
      opacity={0.42}
      sceneFunc={(context, shape) => {
        const canvas = context._context as CanvasRenderingContext2D
        const { width, height } = canvas.canvas
        canvas.save()
        canvas.translate(view.x, view.y)
        canvas.scale(view.scale, view.scale)
        canvas.clip(path)
        canvas.scale(1 / view.scale, 1 / view.scale)
        canvas.beginPath()
        const across = sheet.size.width * view.scale
        const down = sheet.size.height * view.scale
        const from = Math.floor((Math.max(0, -view.x) - down) / spacing) * spacing
        const to = Math.min(across, -view.x + width) + down
        for (let x = from; x <= to; x += spacing) {
          canvas.moveTo(x, Math.min(down, height - view.y))
          canvas.lineTo(x + Math.min(down, height - view.y), 0)
        }
        canvas.lineWidth = 1.1
        canvas.strokeStyle = shape.stroke() as string
        canvas.stroke()
        canvas.restore()
      }}
    />
  )
}

function pathOf(sheet: MapSheet, unseen: UnseenCells): Path2D {
  const path = new Path2D()
  for (const { fromTheta, toTheta, fromS, toS } of unseen) {
    const one = onSheet(sheet, { theta: fromTheta, s: fromS })
    const other = onSheet(sheet, { theta: toTheta, s: toS })
    // cells overlap by a hair, so that no seam shows between rows
    const hair = 0.02
    path.rect(
      Math.min(one.x, other.x) - hair,
      Math.min(one.y, other.y) - hair,
      Math.abs(one.x - other.x) + 2 * hair,
      Math.abs(one.y - other.y) + 2 * hair,
    )
  }
  return path
}
