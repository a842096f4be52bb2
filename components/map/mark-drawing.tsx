'use client'
/** A drawing of one part of the map: a mark with its dimension lines, its tangent line and oil hole in view. Nothing on it is edited. */
import { useMemo, useRef } from 'react'
import { Layer, Stage } from 'react-konva'
import './konva-drawing'
import { LastingDot } from './lasting-dot'
import type { JournalModel } from '@/components/editor/bench-model'
import { useUnits } from '@/components/ui/preferences'
import type { MapPoint, Surface } from '@/lib/journal/surface'
import type { MarkFinding } from '@/lib/model/findings'
import type { OilHole } from '@/lib/model/journal'
import type { BenchMark } from './bench-mark'
import { dimensionDrawing, platesOf } from './dimension-drawing'
import { dimensionPlaces } from './dimension-places'
import { type CursorStore, MapCursor } from './map-cursor'
import { MapGround, type PictureStore } from './map-ground'
import { MapMarks } from './map-marks'
import { ScaleBar } from './map-rulers'
import { type MapSheet, mapSheet, onSheet, turned, turnsToDraw, withinTurn } from './map-sheet'
import { MarkDimensions } from './mark-dimensions'
import { useFrame } from './picture-stage'
import styles from './picture-stage.module.css'
import { useSteelColours } from './steel-colours'
import { SuggestedLines } from './suggested-lines'
import type { UnseenCells } from './unseen-cells'
import type { Suggestions } from './use-suggestions'
import { partView, type Size, type View } from './view'

/** mm of journal around what is shown. */
const marginMm = 4
const holeReachMm = 16

export function MarkDrawing({
  model,
  picture,
  unseen,
  marks,
  shown,
  measured,
  suggestions,
  cursor,
  label,
}: {
  model: JournalModel
  picture: PictureStore
  unseen: UnseenCells
  marks: readonly BenchMark[]
  /** What has to be in view. */
  shown: readonly MapPoint[]
  /** The mark whose numbers are drawn. */
  measured: { vertices: readonly MapPoint[]; finding: MarkFinding } | null
  /** Drawn as on the whole map. */
  suggestions?: Suggestions
  cursor: CursorStore
  label: string
}) {
  const wrapper = useRef<HTMLDivElement>(null)
  const frame = useFrame(wrapper)
  const colours = useSteelColours()
  const units = useUnits()
  const { surface } = model
  const { oilHoles } = model.row.value
  const sheet = useMemo(() => mapSheet(surface, 'rear-up'), [surface])
  const turns = turnsToDraw(shown)[0] ?? 0
  const holes = measured ? oilHoles : null
  const view = useMemo(() => closeView(surface, sheet, frame, turned(shown, turns), holes), [surface, sheet, frame, shown, turns, holes])
  const dimensions =
    measured &&
    dimensionDrawing(
      { surface, holes: oilHoles, vertices: turned(measured.vertices, turns), finding: measured.finding },
      sheet,
      view,
      frame,
      units,
    )
  return (
    <div ref={wrapper} className={styles.canvas} style={{ cursor: 'default', touchAction: 'auto' }} role="img" aria-label={label}>
      {frame.width > 0 ? (
        <Stage width={frame.width} height={frame.height} listening={false}>
          <Layer listening={false}>
            <MapGround sheet={sheet} view={view} journal={model.row.value} picture={picture} unseen={unseen} colours={colours} />
          </Layer>
          <Layer listening={false}>
            <LastingDot />
            {suggestions ? <SuggestedLines suggestions={suggestions} sheet={sheet} view={view} colours={colours} /> : null}
            <MapMarks sheet={sheet} view={view} marks={marks} plates={dimensions ? platesOf(dimensions) : []} colours={colours} />
            {dimensions ? <MarkDimensions drawing={dimensions} colours={colours} /> : null}
            <ScaleBar view={view} frame={frame} units={units} colours={colours} />
          </Layer>
          <Layer listening={false}>
            <LastingDot />
            <MapCursor cursor={cursor} sheet={sheet} view={view} colours={colours} />
          </Layer>
        </Stage>
      ) : null}
    </div>
  )
}

/** The angles at the close view's edges, for the lines on the whole map. */
export function closeWindow(
  surface: Surface,
  frame: Size,
  shown: readonly MapPoint[],
  holes: readonly OilHole[] | null,
): { from: number; to: number } | null {
  if (shown.length === 0 || frame.width === 0) return null
  const sheet = mapSheet(surface, 'rear-up')
  const view = closeView(surface, sheet, frame, turned(shown, turnsToDraw(shown)[0] ?? 0), holes)
  const theta = (x: number) => withinTurn((x - view.x) / view.scale / surface.radius)
  return { from: theta(0), to: theta(frame.width) }
}

/** @param holes oil holes to have in view where they are near, with the tangent line; null: only what is shown */
function closeView(surface: Surface, sheet: MapSheet, frame: Size, shown: readonly MapPoint[], holes: readonly OilHole[] | null): View {
  const places = holes && dimensionPlaces(surface, holes, shown)
  const points = [...shown]
  if (places) {
    points.push(places.fillet.from)
    const { hole } = places
    if (hole && Math.hypot((hole.to.theta - hole.from.theta) * surface.radius, hole.to.s - hole.from.s) < holeReachMm) points.push(hole.to)
  }
  const onMap = points.map((point) => onSheet(sheet, point))
  const xs = onMap.map((point) => point.x)
  const ys = onMap.map((point) => point.y)
  const part = {
    x: Math.min(...xs),
    y: Math.min(...ys),
    width: Math.max(...xs) - Math.min(...xs),
    height: Math.max(...ys) - Math.min(...ys),
  }
  return partView(part, marginMm, { width: Math.max(1, frame.width), height: Math.max(1, frame.height) })
}
