'use client'
/** The numbers of a mark at their dimension lines: angle to the shaft, distance to the fillet and to the oil hole. */
import { Arc } from 'react-konva'
import { useUnits } from '@/components/ui/preferences'
import type { MapPoint, Surface } from '@/lib/journal/surface'
import type { MarkFinding } from '@/lib/model/findings'
import type { OilHole } from '@/lib/model/journal'
import { formatMeasured, formatMeasuredAngle } from '@/lib/model/units'
import { chainDots } from './critical-bands'
import { dimensionPlaces } from './dimension-places'
import { type MapSheet, onSheet } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { DimensionLine, HaloLine, ValuePlate } from './steel-line'
import { type ScreenPoint, type Size, toScreen, type View } from './view'

/** A hole further away than this many mm is not drawn to. */
const reachMm = 40

export function MarkDimensions({
  surface,
  holes,
  vertices,
  finding,
  sheet,
  view,
  frame,
  colours,
}: {
  surface: Surface
  holes: readonly OilHole[]
  vertices: readonly MapPoint[]
  finding: MarkFinding
  sheet: MapSheet
  view: View
  frame: Size
  colours: SteelColours
}) {
  const units = useUnits()
  const places = dimensionPlaces(surface, holes, vertices)
  if (!places) return null
  const at = (point: MapPoint) => toScreen(view, onSheet(sheet, point))
  const { sigma } = finding
  const fillet = places.end === 'front' ? finding.filletFrontMm : finding.filletRearMm
  const hole = places.hole && finding.oilHoles?.find((one) => one.id === places.hole?.id)
  const [from, to] = [at(places.fillet.from), at(places.fillet.to)]
  const aside = to.x > frame.width / 2 ? 34 : -34
  const line = { from: { x: to.x + aside, y: from.y }, to: { x: to.x + aside, y: to.y } }
  return (
    <>
      {fillet !== null && sigma.filletMm !== null && fillet > 0 ? (
        <>
          <HaloLine points={[to, { x: to.x + aside * 1.3, y: to.y }]} width={1} colour={colours.ink} halo={colours.halo} />
          <DimensionLine from={line.from} to={line.to} colours={colours} />
          <ValuePlate
            at={inside({ x: line.to.x + Math.sign(aside) * 74, y: (line.from.y + line.to.y) / 2 }, frame)}
            text={formatMeasured(fillet, sigma.filletMm, units)}
            colours={colours}
          />
        </>
      ) : null}
      {places.hole && hole && sigma.oilHoleMm !== null && hole.distanceMm > 0 && hole.distanceMm < reachMm ? (
        <>
          <DimensionLine from={at(places.hole.from)} to={at(places.hole.to)} colours={colours} />
          <ValuePlate
            at={inside(belowOf(at(places.hole.from), at(places.hole.to)), frame)}
            text={formatMeasured(hole.distanceMm, sigma.oilHoleMm, units)}
            colours={colours}
          />
        </>
      ) : null}
      {places.angle && finding.angleToAxisDeg !== null && sigma.angleDeg !== null ? (
        <AngleArc
          apex={at(places.angle.apex)}
          towards={at(places.angle.towards)}
          text={formatMeasuredAngle(finding.angleToAxisDeg, sigma.angleDeg)}
          frame={frame}
          colours={colours}
        />
      ) : null}
    </>
  )
}

/** The angle between the shaft (straight up on the sheet) and the mark. */
function AngleArc({
  apex,
  towards,
  text,
  frame,
  colours,
}: {
  apex: ScreenPoint
  towards: ScreenPoint
  text: string
  frame: Size
  colours: SteelColours
}) {
  const length = Math.hypot(towards.x - apex.x, towards.y - apex.y)
  const radius = Math.max(26, Math.min(70, length * 0.6))
  const up = -90
  const run = (Math.atan2(towards.y - apex.y, towards.x - apex.x) * 180) / Math.PI
  const from = Math.min(up, run)
  const sweep = Math.abs(run - up)
  const shared = { x: apex.x, y: apex.y, innerRadius: radius, outerRadius: radius, rotation: from, angle: sweep }
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
      <ValuePlate at={inside({ x: apex.x + (run < up ? 62 : -62), y: apex.y - radius }, frame)} text={text} colours={colours} />
    </>
  )
}

function belowOf(from: ScreenPoint, to: ScreenPoint): ScreenPoint {
  return { x: (from.x + to.x) / 2 + 70, y: Math.max(from.y, to.y) + 22 }
}

function inside({ x, y }: ScreenPoint, frame: Size): ScreenPoint {
  return { x: Math.min(frame.width - 74, Math.max(74, x)), y: Math.min(frame.height - 16, Math.max(16, y)) }
}
