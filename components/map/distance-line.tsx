'use client'
/** The tool *Distance* on a picture: a dimension line with its length on the metal. */
import type { SteelColours } from './steel-colours'
import { DimensionLine, ValuePlate } from './steel-line'
import { VertexKnob } from './vertex-knob'
import type { ScreenPoint } from './view'

export function DistanceLine({
  from,
  to,
  words,
  colours,
}: {
  from: ScreenPoint
  to: ScreenPoint | null
  words: string
  colours: SteelColours
}) {
  return (
    <>
      {to ? <DimensionLine from={from} to={to} colours={colours} /> : null}
      <VertexKnob at={from} chosen={false} colours={colours} />
      {to ? <VertexKnob at={to} chosen={false} colours={colours} /> : null}
      {to && words ? <ValuePlate at={{ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 - 20 }} text={words} colours={colours} /> : null}
    </>
  )
}
