/** Stripes of a rollout onto a canvas. */
import type { RolloutStripe } from '@/lib/rollout/rollout'

export function drawStripe(context: OffscreenCanvasRenderingContext2D | null, { firstRow, rows, width, blocks }: RolloutStripe): void {
  context?.clearRect(0, firstRow, width, rows)
  for (const { firstColumn, columns, rgba } of blocks)
    context?.putImageData(new ImageData(rgba as Uint8ClampedArray<ArrayBuffer>, columns, rows), firstColumn, firstRow)
}
