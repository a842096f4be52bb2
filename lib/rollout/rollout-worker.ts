/** Entry of the rollout worker in a page: `new Worker(new URL('./rollout-worker.ts', import.meta.url))`. */
import { bestKernel } from './best-kernel'
import { type FromWorker, rolloutService, type ToWorker } from './rollout-messages'

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

scope.onmessage = (event: MessageEvent<ToWorker>) => handle(event.data)
