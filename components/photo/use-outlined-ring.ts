'use client'
/** Where a tangent line runs beneath a held ring handle in white light, by the journal's outline: found once for a gesture, from a small copy of the picture. */
import { useRef } from 'react'
import type { ScreenPoint, Size } from '@/components/map/view'
import type { Camera } from '@/lib/photo/camera'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { type ColourGrid, colourGrid } from '@/lib/photo/propose-outline'
import { shrunkPlanes } from '@/lib/photo/propose-planes'
import { type FilletRing, nearestOnRing, outlinedCamera } from '@/lib/photo/snap-ring'

const gridLongEdge = 1200

export type OutlinedRing = {
  /** A new gesture: the handles may have changed. */
  forget: () => void
  place: (image: ImageBitmap, photo: Size, fit: Fit, ring: FilletRing, at: ScreenPoint, reachPx: number) => ScreenPoint | null
}

export function useOutlinedRing(): OutlinedRing {
  const grid = useRef<{ image: ImageBitmap; grid: ColourGrid | null } | null>(null)
  const looked = useRef<{ at: ScreenPoint; camera: Camera | null } | null>(null)
  const place: OutlinedRing['place'] = (image, photo, { surface, camera, sigmas }, ring, at, reachPx) => {
    if (grid.current?.image !== image) grid.current = { image, grid: gridOf(image, photo) }
    if (!grid.current.grid) return null
    const last = looked.current
    // where nothing was found the hand may still come to a place from which it is
    if (!last || (!last.camera && Math.hypot(last.at.x - at.x, last.at.y - at.y) > reachPx))
      looked.current = { at, camera: outlinedCamera(surface, camera, sigmas.filletMm, grid.current.grid, ring, { u: at.x, v: at.y }) }
    const found = looked.current?.camera && nearestOnRing(surface, looked.current.camera, ring, { u: at.x, v: at.y }, reachPx)
    return found ? { x: found.u, y: found.v } : null
  }
  const forget = () => {
    looked.current = null
  }
  return { place, forget }
}

function gridOf(image: ImageBitmap, photo: Size): ColourGrid | null {
  const share = Math.min(1, gridLongEdge / Math.max(image.width, image.height))
  const [width, height] = [Math.round(image.width * share), Math.round(image.height * share)]
  const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true })
  if (!context) return null
  context.drawImage(image, 0, 0, width, height)
  const { data } = context.getImageData(0, 0, width, height)
  return { ...colourGrid(shrunkPlanes({ width, height, channels: 4, data }, gridLongEdge)), scale: photo.width / width }
}
