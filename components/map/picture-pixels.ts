/** Pixels of a decoded picture for the rollout, made smaller where it is wider than the map can use; and stripes of the rollout onto a canvas. */
import type { Picture } from '@/lib/rollout/picture'
import type { RolloutStripe } from '@/lib/rollout/rollout'

/** Wide enough for the bench: about 20 px per mm on a journal that fills the picture. */
export const rolloutPictureWidth = 2400

/** @throws where the browser gives no 2D canvas */
export function pictureFromBitmap(bitmap: ImageBitmap, maxWidth = rolloutPictureWidth): Picture {
  const width = Math.min(bitmap.width, maxWidth)
  const height = Math.max(1, Math.round((bitmap.height * width) / bitmap.width))
  const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true })
  if (!context) throw new Error('this browser gives no 2D canvas to read the picture with')
  context.imageSmoothingQuality = 'high'
  context.drawImage(bitmap, 0, 0, width, height)
  return { width, height, channels: 4, data: context.getImageData(0, 0, width, height).data }
}

export function drawStripe(context: OffscreenCanvasRenderingContext2D | null, { firstRow, rows, width, blocks }: RolloutStripe): void {
  context?.clearRect(0, firstRow, width, rows)
  for (const { firstColumn, columns, rgba } of blocks)
    context?.putImageData(new ImageData(rgba as Uint8ClampedArray<ArrayBuffer>, columns, rows), firstColumn, firstRow)
}
