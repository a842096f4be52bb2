/** The page's side of the rollout workers: hands over pictures once, orders maps, and gives back stripes as they come. */
import type { Picture } from './picture'
import type { RolloutStripe } from './rollout'
import type { ToRolloutWorker } from './rollout-worker'
import { type FromWorker, handedOver, type RolloutOrder, roomsOf, type ToWorker } from './rollout-messages'

export type RolloutClient = {
  /** Hands a picture over; its buffer is gone for the caller. */
  setPicture(photoId: string, picture: Picture): void
  /** The same for a decoded picture, whose pixels the workers read: to read them takes a page too long. */
  setBitmap(photoId: string, bitmap: ImageBitmap): void
  dropPicture(photoId: string): void
  /**
   * Each worker's stripes come rear first; the pixels of one are good until `onStripe` returns. A newer order supersedes the running one. Rejects
   * where a worker broke.
   */
  render(order: RolloutOrder, onStripe: (stripe: RolloutStripe) => void): Promise<'done' | 'superseded'>
  close(): void
}

type Waiting = {
  onStripe: (stripe: RolloutStripe) => void
  settle: (end: 'done' | 'superseded') => void
  fail: (error: Error) => void
  /** Workers that have not ended the order yet. */
  working: number
}

/** As many as share the work without taking the machine's last processor. */
export function rolloutWorkers(processors = navigator.hardwareConcurrency): Worker[] {
  const count = processors > 2 ? 2 : 1
  return Array.from({ length: count }, () => new Worker(new URL('./rollout-worker.ts', import.meta.url)))
}

export function openRolloutClient(workers: readonly Worker[] = rolloutWorkers()): RolloutClient {
  const waiting = new Map<number, Waiting>()
  let lastOrder = 0

  const end = (orderId: number, how: (waiter: Waiting) => void) => {
    const waiter = waiting.get(orderId)
    waiting.delete(orderId)
    if (waiter) how(waiter)
  }

  const hear = (worker: Worker, data: FromWorker) => {
    const waiter = waiting.get(data.orderId)
    if (data.say === 'stripe') {
      if (data.orderId === lastOrder) waiter?.onStripe(data.stripe)
      const rooms = roomsOf(data.stripe)
      worker.postMessage({ say: 'spent', rooms } satisfies ToWorker, handedOver(rooms))
    } else if (!waiter) return
    else if (data.say === 'failed') end(data.orderId, ({ fail }) => fail(new Error(data.message)))
    else if (data.say === 'superseded') end(data.orderId, ({ settle }) => settle('superseded'))
    else if (--waiter.working === 0) end(data.orderId, ({ settle }) => settle('done'))
  }
  for (const worker of workers) {
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => hear(worker, data)
    worker.onerror = (event) => {
      const error = new Error(`the rollout worker broke: ${event.message}`)
      for (const waiter of waiting.values()) waiter.fail(error)
      waiting.clear()
    }
  }

  return {
    setPicture: (photoId, picture) => {
      const message: ToWorker = { say: 'picture', photoId, picture }
      // every worker but the last gets a copy
      for (const worker of workers.slice(0, -1)) worker.postMessage(message)
      workers.at(-1)?.postMessage(message, [picture.data.buffer as ArrayBuffer])
    },
    setBitmap: (photoId, bitmap) => {
      const message: ToRolloutWorker = { say: 'bitmap', photoId, bitmap }
      for (const worker of workers.slice(0, -1)) worker.postMessage(message)
      workers.at(-1)?.postMessage(message, [bitmap])
    },
    dropPicture: (photoId) => {
      for (const worker of workers) worker.postMessage({ say: 'drop', photoId } satisfies ToWorker)
    },
    render: (order, onStripe) =>
      new Promise((settle, fail) => {
        const orderId = ++lastOrder
        waiting.set(orderId, { onStripe, settle, fail, working: workers.length })
        for (const [number, worker] of workers.entries()) {
          worker.postMessage({ say: 'render', orderId, order, share: { number, of: workers.length } } satisfies ToWorker)
        }
      }),
    close: () => {
      for (const waiter of waiting.values()) waiter.settle('superseded')
      waiting.clear()
      for (const worker of workers) worker.terminate()
    },
  }
}
