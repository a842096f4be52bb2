'use client'
/** A held vertex of a mark catches the dark line beneath it, under ultraviolet the glowing one: on a photograph and on the map. */
import { useRef } from 'react'
import type { BenchMark } from '@/components/map/bench-mark'
import { nearestPoint } from '@/components/map/hit-test'
import type { PointerTarget } from '@/components/map/picture-pointer'
import type { ScreenPoint, Size } from '@/components/map/view'
import type { BenchTools } from '@/components/editor/use-bench-tools'
import { lineBeneath } from '@/lib/photo/snap-line'
import { catchReach, usePatchReader } from './picture-patch'
import { type Caught, useSnapGesture } from './snap-gesture'

/** The pixels beneath, `scale` px of the picture to one of the image. Content coordinates are those of the pane. */
export type LinePicture = {
  image: (CanvasImageSource & Size) | null
  scale: number
  /** Its right end goes on at the left. */
  wraps: boolean
  /** px of the picture that stand for one of a photograph 2400 px wide, and that make up a unit of content. */
  unitPx: number
  pxPerContent: number
  toPicture: (at: ScreenPoint) => ScreenPoint
  /** The place in content that lies so many px of the picture beside another. */
  beside: (at: ScreenPoint, byPx: ScreenPoint) => ScreenPoint
}

export type LineSnap = {
  caught: Caught
  /** A pointer came down; returns the place that counts. `vertex`: which vertex it took hold of, null: a new point, or none. */
  press: (at: ScreenPoint, vertex: number | null, reach: number, byTouch: boolean, again: (at: ScreenPoint) => void) => ScreenPoint
  move: (at: ScreenPoint, again: (at: ScreenPoint) => void) => ScreenPoint
  end: () => void
}

/** @param open the mark whose vertices can be taken hold of; the outline of a patch catches nothing */
export function useLineSnap(picture: () => LinePicture, tools: Pick<BenchTools, 'tool'>, open: BenchMark | undefined): LineSnap {
  const gesture = useSnapGesture()
  const read = usePatchReader()
  const holds = useRef(false)

  const find = (at: ScreenPoint) => (reach: number) => {
    const { image, scale, wraps, unitPx, pxPerContent, toPicture, beside } = picture()
    if (!image) return null
    const reachPx = catchReach(unitPx, reach * pxPerContent)
    const { x, y } = toPicture(at)
    const patch = read(image, scale, { x, y }, 3 * reachPx + 24 * unitPx, wraps)
    const found = patch && lineBeneath(patch, { u: x, v: y }, reachPx, patch.ultraviolet)
    return found && { at: beside(at, { x: found.u - x, y: found.v - y }), word: 'line' }
  }
  const move: LineSnap['move'] = (at, again) => (holds.current ? gesture.place(at, find(at), again) : at)
  const press: LineSnap['press'] = (at, vertex, reach, byTouch, again) => {
    gesture.begin(reach, byTouch)
    holds.current = tools.tool === 'mark' || (tools.tool === 'shift' && vertex !== null && open?.closed === false)
    // a new point catches at once; one taken hold of stays until it is moved
    return vertex === null ? move(at, again) : at
  }
  const end = () => {
    holds.current = false
    gesture.end()
  }
  return { caught: gesture.caught, press, move, end }
}

/** What a pane does with a pointer on its points, alike on photograph and map. `moved`: the place that counts has changed. */
export function snappedPoints(
  snap: LineSnap,
  tools: Pick<BenchTools, 'send'>,
  knobs: () => readonly (ScreenPoint | null)[],
  moved: (at: ScreenPoint) => void,
): Pick<PointerTarget, 'canGrab' | 'move' | 'release' | 'cancel'> {
  const ended = (type: 'release' | 'give-up') => () => {
    snap.end()
    tools.send({ type })
  }
  return {
    canGrab: (at, reach) => {
      const points = knobs()
      const index = nearestPoint(points, at, reach)
      return index === null ? null : (points[index] ?? null)
    },
    move: (at) => moved(snap.move(at, moved)),
    release: ended('release'),
    cancel: ended('give-up'),
  }
}

/** Is a vertex being set or moved, so that the loupe helps? */
export function setsVertices({ tool, shift }: Pick<BenchTools, 'tool' | 'shift'>): boolean {
  return tool === 'mark' || (tool === 'shift' && shift.held !== null && 'vertex' in shift.held)
}
