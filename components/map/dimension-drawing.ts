/** A mark's dimension lines on the screen, each with its value's plate where it lies on none of the others. */
import type { MapPoint, Surface } from '@/lib/journal/surface'
import type { MarkFinding } from '@/lib/model/findings'
import type { Units } from '@/lib/model/inspection'
import type { OilHole } from '@/lib/model/journal'
import { formatMeasured, formatMeasuredAngle } from '@/lib/model/units'
import { dimensionPlaces } from './dimension-places'
import { type MapSheet, onSheet } from './map-sheet'
import { freePlace, type Plate, valuePlate } from './plates'
import { type ScreenPoint, type Size, toScreen, type View } from './view'

export type Dimension = { plate: Plate; text: string }
export type DimensionDrawing = {
  fillet:
    | (Dimension & {
        from: ScreenPoint
        to: ScreenPoint
        /** Short line from the mark to beyond the dimension line. */
        witness: [ScreenPoint, ScreenPoint]
      })
    | null
  hole: (Dimension & { from: ScreenPoint; to: ScreenPoint }) | null
  /** `radius` px of the arc, `runDeg` clockwise from the right. */
  angle: (Dimension & { apex: ScreenPoint; radius: number; runDeg: number }) | null
}

/** A hole further away than this many mm is not drawn to. */
const reachMm = 40

export function dimensionDrawing(
  {
    surface,
    holes,
    vertices,
    finding,
  }: { surface: Surface; holes: readonly OilHole[]; vertices: readonly MapPoint[]; finding: MarkFinding },
  sheet: MapSheet,
  view: View,
  frame: Size,
  units: Units,
): DimensionDrawing | null {
  const places = dimensionPlaces(surface, holes, vertices)
  if (!places) return null
  const at = (point: MapPoint) => toScreen(view, onSheet(sheet, point))
  const { sigma } = finding
  const taken = alongLine(vertices.map(at))
  const dimension = (text: string, options: ScreenPoint[]): Dimension => {
    const plate = freePlace(valuePlate(text), options, { x: 0, y: 0, ...frame }, taken) as Plate
    taken.push(plate)
    return { text, plate }
  }
  const drawing: DimensionDrawing = { fillet: null, hole: null, angle: null }

  const filletMm = places.end === 'front' ? finding.filletFrontMm : finding.filletRearMm
  if (filletMm !== null && sigma.filletMm !== null && filletMm > 0) {
    const to = at(places.fillet.to)
    const aside = to.x > frame.width / 2 ? 34 : -34
    const line = { from: { x: to.x + aside, y: at(places.fillet.from).y }, to: { x: to.x + aside, y: to.y } }
    const beside = { x: line.to.x + Math.sign(aside) * 74, y: (line.from.y + line.to.y) / 2 }
    const beyond = { x: line.to.x - Math.sign(aside) * 74, y: beside.y }
    taken.push(boxOf(line.from, line.to))
    const value = dimension(formatMeasured(filletMm, sigma.filletMm, units), [beside, beyond, ...around(beside), ...around(beyond)])
    drawing.fillet = { ...value, ...line, witness: [to, { x: to.x + aside * 1.3, y: to.y }] }
  }
  const hole = places.hole && finding.oilHoles?.find((one) => one.id === places.hole?.id)
  if (places.hole && hole && sigma.oilHoleMm !== null && hole.distanceMm > 0 && hole.distanceMm < reachMm) {
    const [from, to] = [at(places.hole.from), at(places.hole.to)]
    const below = { x: (from.x + to.x) / 2 + 70, y: Math.max(from.y, to.y) + 22 }
    drawing.hole = { ...dimension(formatMeasured(hole.distanceMm, sigma.oilHoleMm, units), around(below)), from, to }
  }
  if (places.angle && finding.angleToAxisDeg !== null && sigma.angleDeg !== null) {
    const [apex, towards] = [at(places.angle.apex), at(places.angle.towards)]
    const radius = Math.max(26, Math.min(70, Math.hypot(towards.x - apex.x, towards.y - apex.y) * 0.6))
    const runDeg = (Math.atan2(towards.y - apex.y, towards.x - apex.x) * 180) / Math.PI
    const away = runDeg < -90 ? 1 : -1
    const beside = { x: apex.x + away * 62, y: apex.y - radius }
    const value = dimension(formatMeasuredAngle(finding.angleToAxisDeg, sigma.angleDeg), around(beside))
    drawing.angle = { ...value, apex, radius, runDeg }
  }
  return drawing
}

/** What letters keep off: the plates, and the dimension lines themselves. */
export function platesOf({ fillet, hole, angle }: DimensionDrawing): Plate[] {
  return [
    ...[fillet, hole, angle].flatMap((one) => (one ? [one.plate] : [])),
    ...[fillet, hole].flatMap((one) => (one ? [boxOf(one.from, one.to)] : [])),
    ...(fillet ? [boxOf(...fillet.witness)] : []),
  ]
}

/** Small boxes along the mark itself: no value covers it. */
function alongLine(points: readonly ScreenPoint[]): Plate[] {
  return points.slice(1).flatMap((to, index) => {
    const from = points[index] as ScreenPoint
    const steps = Math.max(1, Math.ceil(Math.hypot(to.x - from.x, to.y - from.y) / markRoom))
    return Array.from({ length: steps + 1 }, (_, step) => ({
      x: from.x + ((to.x - from.x) * step) / steps,
      y: from.y + ((to.y - from.y) * step) / steps,
      width: markRoom,
      height: markRoom,
    }))
  })
}

const markRoom = 8
const lineRoom = 6

function boxOf(from: ScreenPoint, to: ScreenPoint): Plate {
  return {
    x: (from.x + to.x) / 2,
    y: (from.y + to.y) / 2,
    width: Math.abs(from.x - to.x) + lineRoom,
    height: Math.abs(from.y - to.y) + lineRoom,
  }
}

/** The wished place, then ever further above and below it. */
function around({ x, y }: ScreenPoint): ScreenPoint[] {
  return [0, -28, 28, -56, 56, -84, 84].map((down) => ({ x, y: y + down }))
}
