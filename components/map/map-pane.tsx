'use client'
/** The rollout on the bench: the whole turn with its scales, drawn on with the tool in hand. */
import { type KeyboardEvent, type ReactNode, useCallback, useMemo, useState } from 'react'
import type { JournalModel } from '@/components/editor/bench-model'
import type { MapPlace } from '@/components/editor/tools/place'
import type { BenchTools } from '@/components/editor/use-bench-tools'
import { SnapSign } from '@/components/photo/snap-sign'
import { type LinePicture, setsVertices, snappedPoints, useLineSnap } from '@/components/photo/use-line-snap'
import type { NextPhotoState } from '@/components/photo/use-next-photo'
import { useUnits } from '@/components/ui/preferences'
import type { MapPoint } from '@/lib/journal/surface'
import type { BenchMark } from './bench-mark'
import { DistanceLine } from './distance-line'
import { distanceToLine, nearestPoint } from './hit-test'
import { type CursorStore, MapCursor } from './map-cursor'
import { degreeRuler, lengthRuler, ScaleBar, scaleRuler } from './map-rulers'
import { MapGround, type PictureStore } from './map-ground'
import { MapMarks } from './map-marks'
import { NextPhotoMark } from './next-photo-mark'
import { type MapLay, type MapSheet, mapSheet, offSheet, onSheet, turned, turnsToDraw, withinTurn } from './map-sheet'
import type { PointerTarget } from './picture-pointer'
import { PictureStage } from './picture-stage'
import { useSteelColours } from './steel-colours'
import { SuggestedLines } from './suggested-lines'
import type { Suggestions } from './use-suggestions'
import type { UnseenCells } from './unseen-cells'
import { partView, type ScreenPoint, type Size, toScreen, type View, wholeView } from './view'

const suggestedMarginMm = 6
const howItLies = 'seen from outside, rear cheek up; the angle grows clockwise seen from the front'

export type MapPaneProps = {
  model: JournalModel
  lay: MapLay
  picture: PictureStore
  unseen: UnseenCells
  nextPhoto: NextPhotoState
  marks: readonly BenchMark[]
  suggestions: Suggestions
  cursor: CursorStore
  tools: BenchTools
  distanceWords: string
  /** Part of the turn that the close view shows. */
  window: { from: number; to: number } | null
  label: string
  below?: ReactNode
  onKey: (event: KeyboardEvent<HTMLDivElement>) => void
}

export function MapPane({
  model,
  lay,
  picture,
  unseen,
  nextPhoto,
  marks,
  suggestions,
  cursor,
  tools,
  distanceWords,
  window: closeWindow,
  label,
  below,
  onKey,
}: MapPaneProps) {
  const colours = useSteelColours()
  const units = useUnits()
  const sheet = useMemo(() => mapSheet(model.surface, lay), [model.surface, lay])
  const isPin = model.row.value.kind === 'pin'
  const rulers = useMemo(
    () =>
      lay === 'rear-up'
        ? { top: degreeRuler(sheet, 'top'), left: lengthRuler(sheet, units), bottom: scaleRuler(units, howItLies, isPin ? sheet : null) }
        : { left: degreeRuler(sheet, 'left') },
    [sheet, lay, units, isPin],
  )
  const open = marks.find((mark) => mark.open)
  const place = (point: MapPoint): ScreenPoint => onSheet(sheet, point)
  const knobs = (): ScreenPoint[] => [
    ...(open?.vertices ?? []).map((vertex) =>
      place({ theta: vertex.theta + (turnsToDraw(open?.vertices ?? [])[0] ?? 0) * 2 * Math.PI, s: vertex.s }),
    ),
    ...[tools.distance.from, tools.distance.to].flatMap((end) => (end?.on === 'map' ? [place(end)] : [])),
  ]
  const snap = useLineSnap(() => linePicture(picture, sheet), tools, open)
  const moved = (at: ScreenPoint) => {
    const point = mapPlace(offSheet(sheet, at))
    cursor.set({ theta: withinTurn(point.theta), s: point.s })
    tools.send({ type: 'move', at: point })
  }
  const target: PointerTarget = {
    ...snappedPoints(snap, tools, knobs, moved),
    press: (at, reach, byTouch) => {
      const vertex = nearestPoint(knobs(), at, reach)
      const suggested = vertex === null && !tools.busy ? suggestionUnder(suggestions, sheet, at, reach) : null
      if (suggested !== null) return suggestions.choose(suggested)
      suggestions.choose(null)
      tools.send({
        type: 'press',
        at: mapPlace(offSheet(sheet, snap.press(at, vertex, reach, byTouch, moved))),
        vertex,
        markRow: vertex === null ? markUnder(marks, sheet, at, reach) : null,
      })
    },
    hover: (at) => cursor.set(at ? hovered(offSheet(sheet, at)) : null),
  }
  const [startAt] = useState(() => startAngle(marks, model))
  const suggested = lay === 'rear-up' ? null : suggestions.shown
  const home = useCallback(
    (content: Size, frame: Size) => {
      if (lay === 'rear-up') return wholeView(content, frame)
      return suggested ? suggestedView(sheet, frame, suggested.vertices) : startView(content, frame, startAt * model.surface.radius)
    },
    [lay, sheet, suggested, startAt, model.surface.radius],
  )
  const { from, to } = tools.distance
  const ground = (view: View) => (
    <MapGround
      sheet={sheet}
      view={view}
      journal={model.row.value}
      picture={picture}
      unseen={unseen}
      window={closeWindow}
      colours={colours}
    />
  )
  const over = (view: View) => <MapCursor cursor={cursor} sheet={sheet} view={view} colours={colours} />
  const scene = (view: View, frame: Size) => (
    <>
      {nextPhoto.onMap && nextPhoto.next?.kind === 'take' && !tools.busy ? (
        <NextPhotoMark next={nextPhoto.next} sheet={sheet} view={view} colours={colours} />
      ) : null}
      <SuggestedLines suggestions={suggestions} sheet={sheet} view={view} colours={colours} />
      <MapMarks sheet={sheet} view={view} marks={marks} colours={colours} />
      {from?.on === 'map' ? (
        <DistanceLine
          from={toScreen(view, place(from))}
          to={to?.on === 'map' ? toScreen(view, place(to)) : null}
          words={distanceWords}
          colours={colours}
        />
      ) : null}
      <SnapSign caught={snap.caught} view={view} colours={colours} />
      {lay === 'front-left' ? <ScaleBar atLeft view={view} frame={frame} units={units} colours={colours} /> : null}
    </>
  )
  return (
    <PictureStage
      label={label}
      content={sheet.size}
      ground={ground}
      scene={scene}
      over={over}
      target={target}
      home={home}
      homeKey={`${model.row.id}:${lay}:${suggested?.key ?? ''}`}
      rulers={rulers}
      below={below}
      onKey={onKey}
      magnify={setsVertices(tools)}
    />
  )
}

/** The rollout's pixels beneath the sheet; they are about as fine as a photograph's. */
function linePicture(picture: PictureStore, sheet: MapSheet): LinePicture {
  const image = picture.get()?.canvas ?? null
  const { width, height } = image ?? { width: 1, height: 1 }
  const { surface, turn, lay } = sheet
  return {
    image,
    scale: 1,
    wraps: true,
    unitPx: 1,
    pxPerContent: width / turn,
    toPicture: (at) => {
      const { theta, s } = offSheet(sheet, at)
      return { x: (withinTurn(theta) / (2 * Math.PI)) * width, y: (1 - s / surface.totalS) * height }
    },
    beside: (at, by) => {
      const [around, down] = [(by.x * turn) / width, (by.y * surface.totalS) / height]
      return lay === 'rear-up' ? { x: at.x + around, y: at.y + down } : { x: at.x - down, y: at.y + around }
    },
  }
}

function mapPlace(point: MapPoint): MapPlace {
  return { on: 'map', ...point }
}

function hovered(point: MapPoint): MapPoint | null {
  return point.theta < 0 || point.theta > 2 * Math.PI ? null : point
}

/** A phone begins with the journal across the screen, at the first mark or oil hole, and scrolls around it. */
function startView(content: Size, frame: Size, around: number): View {
  const height = Math.min(content.height, (content.width * frame.height) / Math.max(1, frame.width))
  const y = Math.min(content.height - height, Math.max(0, around - height / 2))
  return partView({ x: 0, y, width: content.width, height }, 0, frame)
}

/** On a phone a suggested mark is shown with what lies about it. */
function suggestedView(sheet: MapSheet, frame: Size, vertices: readonly MapPoint[]): View {
  const points = turned(vertices, turnsToDraw(vertices)[0] ?? 0).map((point) => onSheet(sheet, point))
  const [left, top] = [Math.min(...points.map(({ x }) => x)), Math.min(...points.map(({ y }) => y))]
  const [right, bottom] = [Math.max(...points.map(({ x }) => x)), Math.max(...points.map(({ y }) => y))]
  return partView({ x: left, y: top, width: right - left, height: bottom - top }, suggestedMarginMm, frame)
}

function startAngle(marks: readonly BenchMark[], model: JournalModel): number {
  const worst = marks.find((mark) => mark.concern === 'treat-as-cracked') ?? marks[0]
  const hole = model.row.value.oilHoles[0]
  return withinTurn(worst?.vertices?.[0]?.theta ?? (hole ? (hole.angleDeg * Math.PI) / 180 : 0))
}

function suggestionUnder({ open }: Suggestions, sheet: MapSheet, at: ScreenPoint, reach: number): string | null {
  return lineUnder(
    (open ?? []).map(({ key, vertices }) => ({ key, vertices, closed: false })),
    sheet,
    at,
    reach,
  )
}

function markUnder(marks: readonly BenchMark[], sheet: MapSheet, at: ScreenPoint, reach: number): string | null {
  return lineUnder(
    marks.map(({ rowId, vertices, closed }) => ({ key: rowId, vertices, closed })),
    sheet,
    at,
    reach,
  )
}

type KeyedLine = { key: string; vertices: readonly MapPoint[] | null; closed: boolean }

function lineUnder(lines: readonly KeyedLine[], sheet: MapSheet, at: ScreenPoint, reach: number): string | null {
  let best: { key: string; distance: number } | null = null
  for (const { key, vertices, closed } of lines) {
    if (!vertices) continue
    for (const turns of turnsToDraw(vertices)) {
      const points = turned(vertices, turns).map((vertex) => onSheet(sheet, vertex))
      const distance = distanceToLine(closed && points[0] ? [...points, points[0]] : points, at)
      if (distance <= reach && (!best || distance < best.distance)) best = { key, distance }
    }
  }
  return best?.key ?? null
}
