/** The page's side of the worker that looks for handles: one order, one answer. */
import type { Proposal } from './propose'
import type { ProposeAnswer, ProposeOrder } from './propose-worker'

/** The bitmap is gone for the caller. Null where it was stopped; rejects where the worker broke. */
export async function proposeInWorker(order: ProposeOrder, signal: AbortSignal): Promise<Proposal | null> {
  const worker = new Worker(new URL('./propose-worker.ts', import.meta.url))
  try {
    return await new Promise<Proposal | null>((settle, fail) => {
      if (signal.aborted) settle(null)
      signal.addEventListener('abort', () => settle(null))
      worker.onmessage = ({ data }: MessageEvent<ProposeAnswer>) =>
        'failed' in data ? fail(new Error(data.failed)) : settle(data.proposal)
      worker.onerror = (event) => fail(new Error(event.message))
      worker.postMessage(order, [order.bitmap])
    })
  } finally {
    worker.terminate()
  }
}
