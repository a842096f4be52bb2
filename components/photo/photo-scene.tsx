'use client'
/** A photograph as drawn on a canvas: the picture, what is left out, the fit, marks, cursor. Handles are drawn over it by the fit's own scene. */
import { Group, Image as KonvaImage, Line, Rect } from 'react-konva'
import type { BenchMark } from '@/components/map/bench-mark'
import type { CursorStore } from '@/components/map/map-cursor'
import type { SteelColours } from '@/components/map/steel-colours'
import { Each } from '@/components/map/each'
import { letterPlaces } from '@/components/map/letter-places'
import { flatten, LetterPlate } from '@/components/map/steel-line'
import { type ScreenPoint, type Size, toScreen, type View } from '@/components/map/view'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import type { PhotoPoint } from '@/lib/photo/camera'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { FitOverlay } from './fit-overlay'
import { PhotoCursor } from './photo-cursor'
import { PhotoMark, photoLines } from './photo-mark'

export function PhotoScene({
  photo,
  image,
  journal,
  fit,
  marks,
  cursor,
  outline,
  view,
  frame,
  colours,
  bands,
}: {
  photo: Photo
  image: CanvasImageSource | null
  journal: Journal
  fit: Fit | null
  marks: readonly BenchMark[]
  cursor: CursorStore | null
  /** An outline to leave out that is being drawn. */
  outline: readonly PhotoPoint[]
  view: View
  frame: Size
  colours: SteelColours
  bands: boolean
}) {
  const corner = toScreen(view, { x: 0, y: 0 })
  const box = { x: corner.x, y: corner.y, width: photo.width * view.scale, height: photo.height * view.scale }
  const at = (u: number, v: number): ScreenPoint => toScreen(view, { x: u, y: v })
  const lines = marks.map((mark) => photoLines(mark, photo.id, fit, view).at(-1) ?? [])
  const places = letterPlaces(lines, { x: 0, y: 0, ...frame })
  return (
    <Group>
      {image ? <KonvaImage {...box} image={image as HTMLImageElement} /> : <Rect {...box} fill="#54585a" />}
      {colours.photoLight < 1 ? <Rect {...box} fill="#000000" opacity={1 - colours.photoLight} /> : null}
      <Each of={photo.ignore}>{(ignored) => <LeftOut points={ignored.map(([u, v]) => at(u, v))} colours={colours} closed />}</Each>
      {outline.length > 0 ? <LeftOut points={outline.map(({ u, v }) => at(u, v))} colours={colours} closed={outline.length > 2} /> : null}
      {fit ? <FitOverlay journal={journal} fit={fit} view={view} colours={colours} bands={bands} /> : null}
      {marks.map((mark) => (
        <PhotoMark key={mark.rowId} mark={mark} photoId={photo.id} fit={fit} view={view} colours={colours} />
      ))}
      {places.map((at, index) => {
        const mark = marks[index]
        return at && mark ? <LetterPlate key={mark.rowId} at={at} letter={mark.letter} chosen={mark.chosen} colours={colours} /> : null
      })}
      {cursor && fit ? <PhotoCursor cursor={cursor} fit={fit} view={view} colours={colours} /> : null}
    </Group>
  )
}

function LeftOut({ points, colours, closed }: { points: ScreenPoint[]; colours: SteelColours; closed: boolean }) {
  return (
    <>
      <Line points={flatten(points)} closed={closed} fill="#1b2226" opacity={0.55} />
      <Line points={flatten(points)} closed={closed} stroke={colours.halo} strokeWidth={3.6} />
      <Line points={flatten(points)} closed={closed} stroke={colours.ink} strokeWidth={1.4} dash={[6, 4]} />
    </>
  )
}
