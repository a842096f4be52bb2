/** The page's side of the rollout worker: hands over pictures once, orders maps, and gives back stripes as they come. */
import type { Picture } from './picture'
import type { RolloutStripe } from './rollout'
import type { FromWorker, RolloutOrder, ToWorker } from './rollout-messages'

export type RolloutClient = {
  /** Hands a picture over; its buffer is gone for the caller. */
  setPicture(photoId: string, picture: Picture): void
  dropPicture(photoId: string): void
  /** Stripes come rear first. A newer order supersedes the running one. Rejects where the worker broke. */
  render(order: RolloutOrder, onStripe: (stripe: RolloutStripe) => void): Promise<'done' | 'superseded'>
  close(): void
}

type Waiting = { onStripe: (stripe: RolloutStripe) => void; settle: (end: 'done' | 'superseded') => void; fail: (error: Error) => void }

export function openRolloutClient(worker: Worker = new Worker(new URL('./rollout-worker.ts', import.meta.url))): RolloutClient {
  const waiting = new Map<number, Waiting>()
  let lastOrder = 0
  const tell = (message: ToWorker, handOver: Transferable[] = []) => worker.postMessage(message, handOver)

  const end = (orderId: number, how: (waiter: Waiting) => void) => {
    const waiter = waiting.get(orderId)
    waiting.delete(orderId)
    if (waiter) how(waiter)
  }

  worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
    if (data.say === 'stripe') {
      if (data.orderId === lastOrder) waiting.get(data.orderId)?.onStripe(data.stripe)
    } else if (data.say === 'failed') end(data.orderId, (waiter) => waiter.fail(new Error(data.message)))
    else end(data.orderId, (waiter) => waiter.settle(data.say))
  }
  worker.onerror = (event) => {
    const error = new Error(`the rollout worker broke: ${event.message}`)
    for (const waiter of waiting.values()) waiter.fail(error)
    waiting.clear()
  }

  return {
    setPicture: (photoId, picture) => tell({ say: 'picture', photoId, picture }, [picture.data.buffer as ArrayBuffer]),
    dropPicture: (photoId) => tell({ say: 'drop', photoId }),
    render: (order, onStripe) =>
      new Promise((settle, fail) => {
        const orderId = ++lastOrder
        waiting.set(orderId, { onStripe, settle, fail })
        tell({ say: 'render', orderId, order })
      }),
    close: () => {
      for (const waiter of waiting.values()) waiter.settle('superseded')
      waiting.clear()
      worker.terminate()
    },
  }
}
