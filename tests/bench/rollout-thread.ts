/** A rollout worker as the page has it, in a thread of Node, for the benchmark of two threads. */
import { parentPort } from 'node:worker_threads'
import { bestKernel } from '../../lib/rollout/best-kernel'
import { rolloutService, type ToWorker } from '../../lib/rollout/rollout-messages'

const handle = rolloutService(
  bestKernel(),
  (message, handOver) => parentPort?.postMessage(message, handOver as ArrayBuffer[]),
  () => new Promise((resolve) => setImmediate(resolve)),
)
parentPort?.on('message', (message: ToWorker) => handle(message))
