'use client'
/** A point that can be taken hold of: open, and filled when it is chosen. */
import { Circle } from 'react-konva'
import type { SteelColours } from './steel-colours'
import type { ScreenPoint } from './view'

export function VertexKnob({ at, chosen, colours }: { at: ScreenPoint; chosen: boolean; colours: SteelColours }) {
  return (
    <>
      <Circle x={at.x} y={at.y} radius={chosen ? 7.5 : 5.5} stroke={colours.halo} strokeWidth={5} />
      <Circle
        x={at.x}
        y={at.y}
        radius={chosen ? 7.5 : 5.5}
        stroke={colours.dye}
        strokeWidth={2.2}
        fill={chosen ? colours.dye : colours.halo}
      />
    </>
  )
}
