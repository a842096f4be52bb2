'use client'
/**
 * A held handle catches the edge, ring or hole beneath it. Alt held, or a finger resting where it is, lets go of it: then the point stays where the
 * hand puts it.
 */
import { useCallback, useEffect, useRef, useState } from 'react'
import type { HandleRef } from '@/components/editor/tools/handles'
import type { ScreenPoint } from '@/components/map/view'
import { ringOf, sOfAxial } from '@/lib/journal/surface'
import type { Journal } from '@/lib/model/journal'
import type { Handles, Photo } from '@/lib/model/photo'
import { facingOf, ringStretch, sideStretch } from '@/lib/photo/propose-curves'
import type { Crossing, Patch } from '@/lib/photo/snap-profile'
import { isUltraviolet } from '@/lib/photo/propose-planes'
import { type SnapTo, snapped } from '@/lib/photo/snap'
import type { FitResult } from './fit-cache'

/** A finger at rest for so long lets the point go. */
const restMs = 700
/** Screen px within which an edge is caught; and the least and the most of the photograph, px of a picture 2400 wide. */
const catchScreenPx = 9
const catchPhotoPx = { least: 4, most: 14 }

type ColouredPatch = Patch & { ultraviolet: boolean }

export type Caught = { at: ScreenPoint; word: string } | null

export type Snapping = {
  /** What the last place caught: shown in the loupe. */
  caught: Caught
  begin: (reach: number, byTouch: boolean) => void
  /** The place that counts for a pointer's. `again` is called where a resting finger lets the point go. */
  place: (at: ScreenPoint, handle: HandleRef | null, handles: Handles, again: (at: ScreenPoint) => void) => ScreenPoint
  end: () => void
}

export function useSnap(photo: Photo, journal: Journal, image: ImageBitmap | null, fit: FitResult): Snapping {
  const [caught, setCaught] = useState<Caught>(null)
  const altHeld = useAltHeld()
  const gesture = useRef({ reach: 0, byTouch: false, letGo: false, last: { x: 0, y: 0 }, rest: 0 })
  const readers = useRef<{ image: ImageBitmap; context: OffscreenCanvasRenderingContext2D } | null>(null)

  const patchAbout = useCallback(
    (at: ScreenPoint, radiusPx: number): ColouredPatch | null => {
      if (!image) return null
      if (readers.current?.image !== image) {
        const context = new OffscreenCanvas(1, 1).getContext('2d', { willReadFrequently: true })
        readers.current = context && { image, context }
      }
      return readers.current && greyPatch(readers.current.context, image, photo.width / image.width, at, radiusPx)
    },
    [image, photo.width],
  )

  const begin = (reach: number, byTouch: boolean) => {
    window.clearTimeout(gesture.current.rest)
    gesture.current = {
      reach: Math.min(reach, (reach * catchScreenPx) / (byTouch ? 30 : 8)),
      byTouch,
      letGo: false,
      last: { x: -1e9, y: -1e9 },
      rest: 0,
    }
  }
  const end = () => {
    window.clearTimeout(gesture.current.rest)
    setCaught(null)
  }
  const place: Snapping['place'] = (at, handle, handles, again) => {
    const now = gesture.current
    const kind = handle && catches(handle, handles, journal)
    if (now.byTouch && Math.hypot(at.x - now.last.x, at.y - now.last.y) > now.reach / 6) {
      now.last = at
      window.clearTimeout(now.rest)
      now.rest = window.setTimeout(() => {
        now.letGo = true
        setCaught(null)
        again(at)
      }, restMs)
    }
    if (!kind || now.letGo || altHeld.current) {
      setCaught(null)
      return at
    }
    const unit = Math.max(photo.width, photo.height) / 2400
    const reachPx = Math.min(catchPhotoPx.most * unit, Math.max(catchPhotoPx.least * unit, now.reach))
    const patch = patchAbout(at, 3 * reachPx + 24 * unit)
    // under ultraviolet a fillet holds particles up to its tangent line: a step, no kink
    const to = kind.to === 'ring' && patch?.ultraviolet ? 'edge' : kind.to
    const found = patch && snapped(patch, { u: at.x, v: at.y }, to, reachPx, acrossAt(handle, handles, fit, at, reachPx))
    setCaught(found ? { at: { x: found.u, y: found.v }, word: kind.word } : null)
    return found ? { x: found.u, y: found.v } : at
  }
  return { caught, begin, place, end }
}

function catches(handle: HandleRef, handles: Handles, journal: Journal): { to: SnapTo; word: string } | null {
  switch (handle.part) {
    case 'side':
      return { to: 'edge', word: 'edge' }
    case 'hole':
      return { to: 'hole', word: 'hole' }
    case 'clock':
      return { to: 'line', word: 'line' }
    case 'ring': {
      const at = handles.rings[handle.ring]?.at
      if (at === undefined) return null
      if (typeof at === 'number') return { to: 'line', word: 'line' }
      const soft = at.endsWith('fillet') && journal.fillets[at === 'front-fillet' ? 'front' : 'rear'].form === 'tangent'
      return { to: soft ? 'ring' : 'edge', word: 'ring' }
    }
  }
}

/** The direction across the curve that the handle belongs to, by the fit; null without one, or where the point is far from it. */
function acrossAt(
  handle: HandleRef,
  handles: Handles,
  fit: FitResult,
  { x, y }: ScreenPoint,
  reachPx: number,
): readonly [number, number] | null {
  if (!fit.ok) return null
  const { surface, camera, slideKnown } = fit.value
  const facing = facingOf(surface, camera)
  if (!facing) return null
  let crossings: Crossing[] = []
  if (handle.part === 'side') {
    const along = [surface.frontTangentS, surface.rearTangentS] as const
    crossings = ([-1, 1] as const).flatMap((hand) => sideStretch(surface, camera, facing, hand, along[0], along[1], 24))
  } else if (handle.part === 'ring' && slideKnown) {
    const at = handles.rings[handle.ring]?.at
    if (at === undefined) return null
    const s = sOfAxial(surface, ringOf(surface, at).axial)
    crossings = ringStretch(surface, camera, s, facing.middle - facing.half, facing.middle + facing.half, 48)
  }
  let best: Crossing | null = null
  let nearest = Number.POSITIVE_INFINITY
  for (const crossing of crossings) {
    const distance = Math.hypot(crossing.u - x, crossing.v - y)
    if (distance >= nearest) continue
    best = crossing
    nearest = distance
  }
  // a fit that puts the curve elsewhere does not know its direction here
  const off = best ? Math.abs((best.u - x) * best.across[0] + (best.v - y) * best.across[1]) : 0
  if (off > 4 * reachPx) return null
  return best?.across ?? null
}

function greyPatch(
  context: OffscreenCanvasRenderingContext2D,
  image: ImageBitmap,
  scale: number,
  at: ScreenPoint,
  radiusPx: number,
): ColouredPatch | null {
  const left = Math.max(0, Math.floor((at.x - radiusPx) / scale))
  const top = Math.max(0, Math.floor((at.y - radiusPx) / scale))
  const width = Math.min(image.width, Math.ceil((at.x + radiusPx) / scale)) - left
  const height = Math.min(image.height, Math.ceil((at.y + radiusPx) / scale)) - top
  if (width < 4 || height < 4) return null
  context.canvas.width = width
  context.canvas.height = height
  context.drawImage(image, left, top, width, height, 0, 0, width, height)
  const { data } = context.getImageData(0, 0, width, height)
  const grey = new Float32Array(width * height)
  const sums = [0, 0, 0]
  for (let i = 0; i < grey.length; i++) {
    for (const channel of [0, 1, 2]) sums[channel] += data[4 * i + channel]
    grey[i] = (data[4 * i] + data[4 * i + 1] + data[4 * i + 2]) / 3
  }
  const ultraviolet = isUltraviolet(sums[0], sums[1], sums[2])
  return { ultraviolet, u: left * scale, v: top * scale, scale, width, height, grey }
}

function useAltHeld() {
  const held = useRef(false)
  useEffect(() => {
    const change = (event: KeyboardEvent) => {
      if (event.key === 'Alt') held.current = event.type === 'keydown'
    }
    const forget = () => {
      held.current = false
    }
    window.addEventListener('keydown', change)
    window.addEventListener('keyup', change)
    window.addEventListener('blur', forget)
    return () => {
      window.removeEventListener('keydown', change)
      window.removeEventListener('keyup', change)
      window.removeEventListener('blur', forget)
    }
  }, [])
  return held
}
