/** Entry of the rollout worker in a page: `new Worker(new URL('./rollout-worker.ts', import.meta.url))`. */
import { bestKernel } from './best-kernel'
import type { Picture } from './picture'
import { type FromWorker, rolloutService, type ToWorker } from './rollout-messages'

/** A page's worker takes decoded pictures too, and reads their pixels itself. */
export type ToRolloutWorker = ToWorker | { say: 'bitmap'; photoId: string; bitmap: ImageBitmap }

const scope = self as unknown as DedicatedWorkerGlobalScope

/** A message to itself comes back after the messages that already wait: the turns of an order and of the one that replaces it stay apart. */
const turns = new MessageChannel()
const resting: (() => void)[] = []
turns.port1.onmessage = () => resting.shift()?.()

function breathe(): Promise<void> {
  return new Promise((resolve) => {
    resting.push(resolve)
    turns.port2.postMessage(null)
  })
}

const handle = rolloutService(
  bestKernel(),
  (message: FromWorker, handOver) => scope.postMessage(message, handOver as ArrayBuffer[]),
  breathe,
)

scope.onmessage = ({ data }: MessageEvent<ToRolloutWorker>) => {
  if (data.say !== 'bitmap') return handle(data)
  handle({ say: 'picture', photoId: data.photoId, picture: pixelsOf(data.bitmap) })
  data.bitmap.close()
}

function pixelsOf(bitmap: ImageBitmap): Picture {
  const { width, height } = bitmap
  const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true })
  if (!context) throw new Error('this browser gives no 2D canvas to read the picture with')
  context.drawImage(bitmap, 0, 0)
  return { width, height, channels: 4, data: context.getImageData(0, 0, width, height).data }
}
