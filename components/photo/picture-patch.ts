'use client'
/** The brightness of a picture about a place, read where it is asked for, as snapping needs it. */
import { useCallback, useRef } from 'react'
import type { ScreenPoint, Size } from '@/components/map/view'
import { isUltraviolet } from '@/lib/photo/propose-planes'
import type { Patch } from '@/lib/photo/snap-profile'

/** The least and the most of a picture within which something is caught, px of one 2400 wide. */
const catchPx = { least: 4, most: 14 }

export type ColouredPatch = Patch & { ultraviolet: boolean }

export type PatchReader = (
  image: CanvasImageSource & Size,
  scale: number,
  at: ScreenPoint,
  radiusPx: number,
  wraps?: boolean,
) => ColouredPatch | null

/**
 * A reader of images: `at` and `radiusPx` in px of the photograph, `scale` of them to a pixel of the image. `wraps`: its right end goes on at the left.
 */
export function usePatchReader(): PatchReader {
  const context = useRef<OffscreenCanvasRenderingContext2D | null>(null)
  return useCallback((image, scale, at, radiusPx, wraps = false) => {
    context.current ??= new OffscreenCanvas(1, 1).getContext('2d', { willReadFrequently: true })
    return context.current && patchOf(context.current, image, scale, at, radiusPx, wraps)
  }, [])
}

/** px of a picture 2400 px wide that each of this one stands for. */
export function unitOf(picture: Size): number {
  return Math.max(picture.width, picture.height) / 2400
}

/** How far a point catches, px of the picture. */
export function catchReach(unitPx: number, reachPx: number): number {
  return Math.min(catchPx.most * unitPx, Math.max(catchPx.least * unitPx, reachPx))
}

function patchOf(
  context: OffscreenCanvasRenderingContext2D,
  image: CanvasImageSource & Size,
  scale: number,
  at: ScreenPoint,
  radiusPx: number,
  wraps: boolean,
): ColouredPatch | null {
  const left = Math.max(wraps ? -image.width : 0, Math.floor((at.x - radiusPx) / scale))
  const top = Math.max(0, Math.floor((at.y - radiusPx) / scale))
  const width = Math.min(wraps ? 2 * image.width : image.width, Math.ceil((at.x + radiusPx) / scale)) - left
  const height = Math.min(image.height, Math.ceil((at.y + radiusPx) / scale)) - top
  if (width < 4 || height < 4) return null
  context.canvas.width = width
  context.canvas.height = height
  for (const turn of wraps ? [-image.width, 0, image.width] : [0])
    context.drawImage(image, left - turn, top, width, height, 0, 0, width, height)
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
