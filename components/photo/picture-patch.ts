'use client'
/** The brightness of a picture about a place, read where it is asked for, as snapping needs it. */
import { useCallback, useRef } from 'react'
import type { ScreenPoint } from '@/components/map/view'
import { isUltraviolet } from '@/lib/photo/propose-planes'
import type { Patch } from '@/lib/photo/snap-profile'

export type ColouredPatch = Patch & { ultraviolet: boolean }

/** A reader of an image that may be smaller than the photograph it shows, `photoWidth` px wide; places in px of the photograph. */
export function usePicturePatch(
  image: ImageBitmap | OffscreenCanvas | null,
  photoWidth: number,
): (at: ScreenPoint, radiusPx: number) => ColouredPatch | null {
  const reader = useRef<{ context: OffscreenCanvasRenderingContext2D } | null>(null)
  return useCallback(
    (at, radiusPx) => {
      if (!image) return null
      if (!reader.current) {
        const context = new OffscreenCanvas(1, 1).getContext('2d', { willReadFrequently: true })
        reader.current = context && { context }
      }
      return reader.current && patchOf(reader.current.context, image, photoWidth / image.width, at, radiusPx)
    },
    [image, photoWidth],
  )
}

function patchOf(
  context: OffscreenCanvasRenderingContext2D,
  image: ImageBitmap | OffscreenCanvas,
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
