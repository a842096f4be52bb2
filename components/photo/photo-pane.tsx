'use client'
/** The photograph on the bench: with its fit and marks, drawn on with the tool in hand. */
import { type KeyboardEvent, useCallback, useMemo, useState } from 'react'
import type { JournalModel } from '@/components/editor/bench-model'
import type { BenchStore } from '@/components/editor/bench-store'
import { toMap } from '@/components/editor/convert-place'
import type { Row } from '@/components/editor/document'
import type { PhotoPlace } from '@/components/editor/tools/place'
import type { BenchTools } from '@/components/editor/use-bench-tools'
import type { BenchMark } from '@/components/map/bench-mark'
import { DistanceLine } from '@/components/map/distance-line'
import { distanceToLine, nearestPoint } from '@/components/map/hit-test'
import type { CursorStore } from '@/components/map/map-cursor'
import type { PointerTarget } from '@/components/map/picture-pointer'
import { PictureStage } from '@/components/map/picture-stage'
import { useSteelColours } from '@/components/map/steel-colours'
import { partView, type ScreenPoint, type Size, toScreen, type View, wholeView } from '@/components/map/view'
import type { Photo } from '@/lib/model/photo'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { pixelToMap } from '@/lib/photo/unproject'
import { LeftOut } from './left-out'
import { PhotoCursor } from './photo-cursor'
import { PhotoGround } from './photo-ground'
import { PhotoMarks } from './photo-marks'
import { usePhotoPicture } from './photo-picture'
import { unitOf } from './picture-patch'
import { PictureMissing } from './picture-missing'
import { SnapSign } from './snap-sign'
import { type LinePicture, setsVertices, snappedPoints, useLineSnap } from './use-line-snap'
import styles from './photo-strip.module.css'
import { divided, journalBox, visibleCurves, visiblePixel } from './surface-curves'

export function PhotoPane({
  row,
  model,
  marks,
  cursor,
  tools,
  store,
  distanceWords,
  onKey,
}: {
  row: Row<Photo>
  model: JournalModel
  marks: readonly BenchMark[]
  cursor: CursorStore
  tools: BenchTools
  store: BenchStore
  distanceWords: string
  onKey: (event: KeyboardEvent<HTMLDivElement>) => void
}) {
  const photo = row.value
  const colours = useSteelColours()
  const [beside, setBeside] = useState(false)
  const result = model.fits.get(row.id)
  const fit = result?.ok ? result.value : null
  const placed = fit?.rollKnown && fit.slideKnown ? fit : null
  const picture = usePhotoPicture(row.id, photo.width, store.state().document.files[row.id]?.sha256 ?? '')
  const here = marks.filter((mark) => mark.drawn?.photoId === photo.id || (placed !== null && mark.vertices !== null))
  const open = here.find((mark) => mark.open)
  const snap = useLineSnap(() => linePicture(photo, picture.image), tools, open)
  const place = (at: ScreenPoint): PhotoPlace => ({ on: 'photo', photoId: photo.id, u: at.x, v: at.y })
  const knobs = (): (ScreenPoint | null)[] => [
    ...knobsOf(open, photo.id, placed),
    ...endsOf(tools, photo.id),
    ...outlineOf(tools, photo.id),
  ]
  const moved = (at: ScreenPoint) => {
    cursor.set(toMap(placed, { u: at.x, v: at.y }))
    // a mark's point stays on the journal
    if (tools.tool === 'leave-out' || tools.tool === 'distance' || onJournal(fit, at))
      tools.send({ type: 'move', at: place(inside(photo, at)) })
  }
  const target: PointerTarget = {
    ...snappedPoints(snap, tools, knobs, moved),
    press: (pressed, reach, byTouch) => {
      const vertex = nearestPoint(knobs(), pressed, reach)
      const at = snap.press(pressed, vertex, reach, byTouch, moved)
      const draws = tools.tool === 'mark' || tools.tool === 'patch'
      const off = draws && vertex === null && !onJournal(fit, at)
      setBeside(off)
      if (off) return
      tools.send({ type: 'press', at: place(at), vertex, markRow: vertex === null ? markUnder(here, photo.id, placed, at, reach) : null })
    },
    hover: (at) => cursor.set(at ? toMap(placed, { u: at.x, v: at.y }) : null),
  }
  const box = useMemo(() => (fit ? journalBox(fit.surface, fit.camera) : null), [fit])
  const home = useCallback(
    (content: Size, frame: Size) =>
      box && frame.width > 0 ? partView(box, Math.max(box.width, box.height) * 0.06, frame) : wholeView(content, frame),
    [box],
  )
  const outline =
    tools.tool === 'leave-out'
      ? tools.outline.points.flatMap((point) => (point.on === 'photo' && point.photoId === photo.id ? [point] : []))
      : []
  const ground = (view: View) => (
    <PhotoGround photo={photo} image={picture.image} journal={model.row.value} fit={fit} view={view} colours={colours} />
  )
  const over = (view: View) => (placed ? <PhotoCursor cursor={cursor} fit={placed} view={view} colours={colours} /> : null)
  const scene = (view: View, frame: Size) => {
    const ends = endsOf(tools, photo.id).map((end) => toScreen(view, end))
    return (
      <>
        <PhotoMarks photoId={photo.id} fit={fit} marks={here} view={view} frame={frame} colours={colours} />
        {outline.length > 0 ? (
          <LeftOut points={outline.map(({ u, v }) => toScreen(view, { x: u, y: v }))} colours={colours} closed={outline.length > 2} />
        ) : null}
        {ends[0] ? <DistanceLine from={ends[0]} to={ends[1] ?? null} words={distanceWords} colours={colours} /> : null}
        <SnapSign caught={snap.caught} view={view} colours={colours} />
      </>
    )
  }
  return (
    <>
      <PictureStage
        label={`Photograph ${photo.id}`}
        content={photo}
        ground={ground}
        scene={scene}
        over={over}
        target={target}
        home={home}
        onNearness={picture.onNearness}
        homeKey={`${row.id}:${box !== null}`}
        onKey={onKey}
        magnify={setsVertices(tools)}
      />
      {picture.failed ? <PictureMissing photoRow={row.id} name={photo.file ?? photo.id} store={store} /> : null}
      {beside ? (
        <p className={styles.missing} role="status">
          That is beside the journal. Set points on it, or mend the fit if it runs past.
        </p>
      ) : null}
    </>
  )
}

function linePicture(photo: Photo, image: ImageBitmap | null): LinePicture {
  const scale = image ? photo.width / image.width : 1
  const beside = (at: ScreenPoint, by: ScreenPoint) => ({ x: at.x + by.x, y: at.y + by.y })
  return { image, scale, wraps: false, unitPx: unitOf(photo), pxPerContent: 1, toPicture: (at) => at, beside }
}

/** Where the fit is not to be relied on, a mark may run past it. */
function onJournal(fit: Fit | null, at: ScreenPoint): boolean {
  return !fit?.trusted || pixelToMap(fit.surface, fit.camera, { u: at.x, v: at.y }).ok
}

function inside(photo: Photo, { x, y }: ScreenPoint): ScreenPoint {
  return { x: Math.min(photo.width, Math.max(0, x)), y: Math.min(photo.height, Math.max(0, y)) }
}

function knobsOf(open: BenchMark | undefined, photoId: string, fit: Fit | null): (ScreenPoint | null)[] {
  if (!open) return []
  if (open.drawn?.photoId === photoId) return open.drawn.pixels.map(([x, y]) => ({ x, y }))
  return (open.vertices ?? []).map((vertex) => {
    const seen = fit && visiblePixel(fit.surface, fit.camera, vertex)
    return seen ? { x: seen.u, y: seen.v } : null
  })
}

function endsOf(tools: BenchTools, photoId: string): ScreenPoint[] {
  return [tools.distance.from, tools.distance.to].flatMap((end) =>
    end?.on === 'photo' && end.photoId === photoId ? [{ x: end.u, y: end.v }] : [],
  )
}

function outlineOf(tools: BenchTools, photoId: string): ScreenPoint[] {
  if (tools.tool !== 'leave-out') return []
  return tools.outline.points.flatMap((point) => (point.on === 'photo' && point.photoId === photoId ? [{ x: point.u, y: point.v }] : []))
}

function markUnder(marks: readonly BenchMark[], photoId: string, fit: Fit | null, at: ScreenPoint, reach: number): string | null {
  let best: { rowId: string; distance: number } | null = null
  for (const mark of marks) {
    const drawn = mark.drawn?.photoId === photoId ? [mark.drawn.pixels.map(([x, y]) => ({ x, y }))] : []
    const seen =
      fit && mark.vertices
        ? visibleCurves(fit.surface, fit.camera, divided(mark.vertices, mark.closed, fit.surface.radius)).map((line) =>
            line.map(({ u, v }) => ({ x: u, y: v })),
          )
        : []
    for (const line of seen.length > 0 ? seen : drawn) {
      const distance = distanceToLine(line, at)
      if (distance <= reach && (!best || distance < best.distance)) best = { rowId: mark.rowId, distance }
    }
  }
  return best?.rowId ?? null
}
