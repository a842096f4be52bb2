'use client'
/** A held handle catches the edge, ring or hole beneath it. */
import type { HandleRef } from '@/components/editor/tools/handles'
import type { ScreenPoint } from '@/components/map/view'
import { ringOf, sOfAxial } from '@/lib/journal/surface'
import type { Journal } from '@/lib/model/journal'
import type { Handles, Photo } from '@/lib/model/photo'
import { facingOf, ringStretch, sideStretch } from '@/lib/photo/propose-curves'
import type { Crossing } from '@/lib/photo/snap-profile'
import { type SnapTo, snapped } from '@/lib/photo/snap'
import type { FilletRing } from '@/lib/photo/snap-ring'
import type { FitResult } from './fit-cache'
import { catchReach, unitOf, usePatchReader } from './picture-patch'
import { type SnapGesture, useSnapGesture } from './snap-gesture'
import { useOutlinedRing } from './use-outlined-ring'

export type Snapping = Omit<SnapGesture, 'place'> & {
  /** The place that counts for a pointer's. `again` is called where a resting finger lets the point go. */
  place: (at: ScreenPoint, handle: HandleRef | null, handles: Handles, again: (at: ScreenPoint) => void) => ScreenPoint
}

export function useSnap(photo: Photo, journal: Journal, image: ImageBitmap | null, fit: FitResult): Snapping {
  const gesture = useSnapGesture()
  const patchOf = usePatchReader()
  const outlined = useOutlinedRing()
  const begin: Snapping['begin'] = (reach, byTouch) => {
    outlined.forget()
    gesture.begin(reach, byTouch)
  }
  const place: Snapping['place'] = (at, handle, handles, again) => {
    const kind = handle && catches(handle, handles, journal)
    const find = (reach: number) => {
      const unit = unitOf(photo)
      const reachPx = catchReach(unit, reach)
      const patch = image && patchOf(image, photo.width / image.width, at, 3 * reachPx + 24 * unit)
      if (!image || !kind || !patch) return null
      // under ultraviolet a fillet holds particles up to its tangent line: a step of brightness
      if (kind.tangentLine && !patch.ultraviolet) {
        const place = fit.ok ? outlined.place(image, photo, fit.value, kind.tangentLine, at, reachPx) : null
        return place && { at: place, word: kind.word }
      }
      const found = snapped(patch, { u: at.x, v: at.y }, kind.to, reachPx, acrossAt(handle, handles, fit, at, reachPx))
      return found && { at: { x: found.u, y: found.v }, word: kind.word }
    }
    return gesture.place(at, kind ? find : null, again)
  }
  return { ...gesture, begin, place }
}

type Catch = { to: SnapTo; word: string; tangentLine?: FilletRing }

function catches(handle: HandleRef, handles: Handles, journal: Journal): Catch | null {
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
      const tangent = (end: 'front' | 'rear') => journal.fillets[end].form === 'tangent'
      const soft = (at === 'front-fillet' && tangent('front')) || (at === 'rear-fillet' && tangent('rear'))
      return { to: 'edge', word: 'ring', ...(soft ? { tangentLine: at } : {}) }
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
