/** Entry of a rollout thread on the server and the command line: keeps the sums of its share of the stripes, adds photographs, writes the stripes into the map. */
import { parentPort } from 'node:worker_threads'
import { bestKernel } from '../rollout/best-kernel'
import type { Sums } from '../rollout/kernel'
import { addToBlock, type Rollout, type RolloutJob, rolloutJob } from '../rollout/rollout'
import type { FromThread, ToThread } from './rollout-threads'

const port = parentPort
if (!port) throw new Error('rollout-thread-worker.ts runs in a worker thread alone')
const kernel = bestKernel()
let job: RolloutJob | null = null
let whole: Rollout = { width: 0, height: 0, rgba: new Uint8ClampedArray(0), sources: null }
let stripes: { firstRow: number; rows: number; sums: Sums }[] = []

port.on('message', (message: ToThread) => {
  answer(message).then(
    (said) => port.postMessage(said),
    (error: unknown) =>
      port.postMessage({ say: 'failed', message: error instanceof Error ? error.message : String(error) } satisfies FromThread),
  )
})

async function answer(message: ToThread): Promise<FromThread> {
  const ready = await kernel
  if (message.say === 'prepare') {
    const { surface, photos, size, sampling } = message
    return { say: 'prepared', job: rolloutJob(surface, photos, size, { sampling }) }
  }
  if (message.say === 'begin') {
    job = message.job
    const { width, height } = job.grid
    whole = { width, height, rgba: new Uint8ClampedArray(message.map), sources: null }
    stripes = message.stripes.map((stripe) => ({ ...stripe, sums: ready.sums(width, stripe.rows, false) }))
    return { say: 'ready' }
  }
  if (!job) throw new Error('no rollout has begun')
  if (message.say === 'add') {
    const held = ready.hold(message.picture)
    for (const { sums, ...stripe } of stripes)
      addToBlock(job, sums, held, message.index, { ...stripe, firstColumn: 0, columns: job.grid.width })
    held.release()
    return { say: 'ready' }
  }
  for (const { firstRow, rows, sums } of stripes) {
    sums.settle(rows, whole.width, whole, firstRow * whole.width)
    sums.release()
  }
  stripes = []
  return { say: 'ready' }
}
