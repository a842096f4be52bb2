'use client'
/** The numbers of a mark at their dimension lines: angle to the shaft, distance to the fillet and to the oil hole. */
import { Arc } from 'react-konva'
import { chainDots } from './critical-bands'
import type { DimensionDrawing } from './dimension-drawing'
import type { SteelColours } from './steel-colours'
import { DimensionLine, HaloLine, ValuePlate } from './steel-line'

export function MarkDimensions({ drawing, colours }: { drawing: DimensionDrawing; colours: SteelColours }) {
  const { fillet, hole, angle } = drawing
  return (
    <>
      {fillet ? (
        <>
          <HaloLine points={fillet.witness} width={1} colour={colours.ink} halo={colours.halo} />
          <DimensionLine from={fillet.from} to={fillet.to} colours={colours} />
          <ValuePlate at={fillet.plate} text={fillet.text} colours={colours} />
        </>
      ) : null}
      {hole ? (
        <>
          <DimensionLine from={hole.from} to={hole.to} colours={colours} />
          <ValuePlate at={hole.plate} text={hole.text} colours={colours} />
        </>
      ) : null}
      {angle ? (
        <>
          <AngleArc {...angle} colours={colours} />
          <ValuePlate at={angle.plate} text={angle.text} colours={colours} />
        </>
      ) : null}
    </>
  )
}

/** The angle between the shaft (straight up on the sheet) and the mark. */
function AngleArc({ apex, radius, runDeg, colours }: NonNullable<DimensionDrawing['angle']> & { colours: SteelColours }) {
  const up = -90
  const sweep = Math.abs(runDeg - up)
  const shared = { x: apex.x, y: apex.y, innerRadius: radius, outerRadius: radius, rotation: Math.min(up, runDeg), angle: sweep }
  return (
    <>
      <HaloLine
        points={[apex, { x: apex.x, y: apex.y - radius - 14 }]}
        width={1.2}
        colour={colours.ink}
        halo={colours.halo}
        dash={chainDots}
      />
      {sweep > 1 ? (
        <>
          <Arc {...shared} stroke={colours.halo} strokeWidth={3.6} />
          <Arc {...shared} stroke={colours.ink} strokeWidth={1.3} />
        </>
      ) : null}
    </>
  )
}
