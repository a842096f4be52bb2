/**
 * Stripes of a rollout onto a canvas. Its pixels stay in the page's own memory: kept by the graphics process, every stripe would have to wait for what that is
 * doing, which after a page's opening can take seconds.
 */
import type { RolloutStripe } from '@/lib/rollout/rollout'

/** What stripes are drawn with, and what is read back. */
export function stripeContext(canvas: OffscreenCanvas): OffscreenCanvasRenderingContext2D | null {
  return canvas.getContext('2d', { willReadFrequently: true })
}

export function drawStripe(context: OffscreenCanvasRenderingContext2D | null, { firstRow, rows, width, blocks }: RolloutStripe): void {
  context?.clearRect(0, firstRow, width, rows)
  for (const { firstColumn, columns, rgba } of blocks)
    context?.putImageData(new ImageData(ownPixels(rgba), columns, rows), firstColumn, firstRow)
}

/** Image data takes no memory that is shared with a worker. */
function ownPixels(rgba: Uint8ClampedArray): Uint8ClampedArray<ArrayBuffer> {
  return rgba.buffer instanceof ArrayBuffer ? (rgba as Uint8ClampedArray<ArrayBuffer>) : rgba.slice()
}
