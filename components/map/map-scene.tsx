'use client'
/** The unrolled journal as drawn on a canvas: rollout, what was not seen hatched, layout blue on what is critical, hole, marks, cursor. */
import { Group, Image as KonvaImage, Rect } from 'react-konva'
import type { MapPoint } from '@/lib/journal/surface'
import type { Journal } from '@/lib/model/journal'
import type { BenchMark } from './bench-mark'
import { CriticalBands } from './critical-bands'
import { type CursorStore, MapCursor } from './map-cursor'
import { MapMark } from './map-mark'
import { letterPlaces } from './letter-places'
import { type MapSheet, onSheet, turned, turnsToDraw } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { HaloLine, LetterPlate } from './steel-line'
import { UnseenHatch } from './unseen-hatch'
import type { UnseenCells } from './unseen-cells'
import { toScreen, type View } from './view'

export type MapPicture = { canvas: HTMLCanvasElement | OffscreenCanvas; stamp: number }

export function MapScene({
  sheet,
  view,
  journal,
  picture,
  unseen,
  marks,
  cursor,
  window: closeWindow,
  colours,
  words = true,
}: {
  sheet: MapSheet
  view: View
  journal: Journal
  picture: MapPicture | null
  unseen: UnseenCells | null
  marks: readonly BenchMark[]
  cursor: CursorStore
  /** Angles between which the close view lies. */
  window?: { from: number; to: number } | null
  colours: SteelColours
  words?: boolean
}) {
  const at = (point: MapPoint) => toScreen(view, onSheet(sheet, point))
  return (
    <Group>
      <Steel sheet={sheet} view={view} picture={picture} colours={colours} />
      {unseen ? <UnseenHatch sheet={sheet} view={view} unseen={unseen} colours={colours} bare={picture === null} /> : null}
      <CriticalBands sheet={sheet} view={view} journal={journal} colours={colours} words={words} />
      {closeWindow
        ? [closeWindow.from, closeWindow.to].map((theta) => (
            <HaloLine
              key={theta}
              points={[at({ theta, s: 0 }), at({ theta, s: sheet.surface.totalS })]}
              width={1.6}
              colour={colours.dye}
              halo={colours.halo}
            />
          ))
        : null}
      {marks.map((mark) => (
        <MapMark key={mark.rowId} mark={mark} sheet={sheet} view={view} colours={colours} />
      ))}
      <MapLetters sheet={sheet} view={view} marks={marks} colours={colours} />
      <MapCursor cursor={cursor} sheet={sheet} view={view} colours={colours} />
    </Group>
  )
}

function MapLetters({ sheet, view, marks, colours }: { sheet: MapSheet; view: View; marks: readonly BenchMark[]; colours: SteelColours }) {
  const corner = toScreen(view, { x: 0, y: 0 })
  const frame = { ...corner, width: sheet.size.width * view.scale, height: sheet.size.height * view.scale }
  const lines = marks.map(({ vertices }) =>
    vertices ? turned(vertices, turnsToDraw(vertices)[0] ?? 0).map((point) => toScreen(view, onSheet(sheet, point))) : [],
  )
  const places = letterPlaces(lines, frame)
  return marks.map((mark, index) => {
    const at = places[index]
    return at ? <LetterPlate key={mark.rowId} at={at} letter={mark.letter} chosen={mark.chosen} colours={colours} /> : null
  })
}

function Steel({ sheet, view, picture, colours }: { sheet: MapSheet; view: View; picture: MapPicture | null; colours: SteelColours }) {
  const { surface, turn, lay, size } = sheet
  const corner = toScreen(view, { x: 0, y: 0 })
  const width = size.width * view.scale
  const height = size.height * view.scale
  const image = lay === 'rear-up' ? { x: corner.x, y: corner.y, rotation: 0 } : { x: corner.x + width, y: corner.y, rotation: 90 }
  return (
    <>
      <Rect x={corner.x} y={corner.y} width={width} height={height} fill="#9aa1a4" />
      {picture ? (
        <KonvaImage
          {...image}
          image={picture.canvas as HTMLCanvasElement}
          width={turn * view.scale}
          height={surface.totalS * view.scale}
          name={`stamp-${picture.stamp}`}
        />
      ) : null}
      {colours.photoLight < 1 ? (
        <Rect x={corner.x} y={corner.y} width={width} height={height} fill="#000000" opacity={1 - colours.photoLight} />
      ) : null}
    </>
  )
}
