/** Entry of the tracing worker in a page: `new Worker(new URL('./trace-worker.ts', import.meta.url))`. */
import { type FromTracer, type ToTracer, traceService } from './trace-service'

const scope = self as unknown as DedicatedWorkerGlobalScope
const handle = traceService((message: FromTracer) => scope.postMessage(message))
scope.onmessage = (event: MessageEvent<ToTracer>) => handle(event.data)
