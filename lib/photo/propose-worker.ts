/** Entry of the worker that looks for handles in a page: `new Worker(new URL('./propose-worker.ts', import.meta.url))`. */
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { LensData } from './lens-priors'
import { type Proposal, proposeHandles } from './propose'

/** The bitmap is upright, of the photo's size or smaller; its worker closes it. */
export type ProposeOrder = { journal: Journal; photo: Photo; lens: LensData | null; bitmap: ImageBitmap }
export type ProposeAnswer = { proposal: Proposal } | { failed: string }

const scope = self as unknown as DedicatedWorkerGlobalScope

scope.onmessage = ({ data: { journal, photo, lens, bitmap } }: MessageEvent<ProposeOrder>) => {
  const answer = (message: ProposeAnswer) => scope.postMessage(message)
  try {
    const { width, height } = bitmap
    const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true })
    if (!context) throw new Error('this browser gives no 2D canvas to read the picture with')
    context.drawImage(bitmap, 0, 0)
    bitmap.close()
    const { data } = context.getImageData(0, 0, width, height)
    answer({ proposal: proposeHandles(journal, photo, lens, { width, height, channels: 4, data }) })
  } catch (error) {
    answer({ failed: error instanceof Error ? error.message : String(error) })
  }
}
