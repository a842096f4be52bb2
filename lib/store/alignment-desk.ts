/** Alignments under way: one at a time in a worker thread, a newer order for a journal in the place of its older one. */
import { Worker } from 'node:worker_threads'
import type { AlignedPhotos } from '../photo/alignment-record'
import type { AlignmentOrder, FromAlignment } from './alignment-worker'

export type AlignmentJob = {
  journalRow: string
  key: string
  order: AlignmentOrder
  done: number
  of: number
  /** Keeps what came out. */
  keep: (photos: AlignedPhotos) => Promise<void>
}

type Settled =
  | { key: string; state: 'not-needed' }
  | { key: string; state: 'stopped' }
  /** Tried again after a while: a disk may be back, a picture put back. */
  | { key: string; state: 'failed'; detail: string; until: number }
  | { key: string; state: 'incomplete'; photos: AlignedPhotos; detail: string; until: number }

const againAfterMs = 60_000

type Desk = {
  waiting: AlignmentJob[]
  running: { job: AlignmentJob; worker: Worker } | null
  /** By journal row: what needs no alignment, was stopped or failed, as it stands now. */
  settled: Map<string, Settled>
}

/** Route handlers are bundled apart from one another: the process-wide place keeps them on one desk. */
const processWide = globalThis as typeof globalThis & { throwmarkAlignments?: Desk }

function desk(): Desk {
  processWide.throwmarkAlignments ??= { waiting: [], running: null, settled: new Map() }
  return processWide.throwmarkAlignments
}

export function settledState(journalRow: string, key: string, now = Date.now()): Settled | null {
  const settled = desk().settled.get(journalRow)
  if (settled?.key !== key) return null
  return 'until' in settled && now >= settled.until ? null : settled
}

export function settle(journalRow: string, settled: Settled): void {
  desk().settled.set(journalRow, settled)
}

export function jobUnderWay(key: string): AlignmentJob | null {
  const { waiting, running } = desk()
  return running?.job.key === key ? running.job : (waiting.find((job) => job.key === key) ?? null)
}

/** Puts an order in line, in the place of an older one for the same journal. */
export function orderAlignment(job: AlignmentJob): void {
  const at = desk()
  at.waiting = [...at.waiting.filter(({ journalRow }) => journalRow !== job.journalRow), job]
  if (at.running?.job.journalRow === job.journalRow) void at.running.worker.terminate()
  if (!at.running) startNext()
}

/** Ends what is under way for a journal, or waits; it stays stopped while what it is made from stays as it is. */
export function stopAlignment(journalRow: string): void {
  const at = desk()
  const jobs = [...at.waiting, ...(at.running ? [at.running.job] : [])]
  const job = jobs.find((one) => one.journalRow === journalRow)
  if (!job) return
  settle(journalRow, { key: job.key, state: 'stopped' })
  at.waiting = at.waiting.filter((one) => one !== job)
  if (at.running?.job === job) void at.running.worker.terminate()
}

/** A stopped or failed alignment may begin again. */
export function forgetSettled(journalRow: string): void {
  desk().settled.delete(journalRow)
}

function startNext(): void {
  const at = desk()
  const job = at.waiting.shift()
  if (!job) return
  const worker = startWorker(job.order)
  at.running = { job, worker }
  let result: Extract<FromAlignment, { say: 'done' }> | null = null
  worker.on('message', (message: FromAlignment) => {
    if (message.say === 'progress') Object.assign(job, { done: message.done, of: message.of })
    else result = message
  })
  const { journalRow, key } = job
  const fail = (error: unknown) => {
    const detail = error instanceof Error ? error.message : String(error)
    settle(journalRow, { key, state: 'failed', detail, until: Date.now() + againAfterMs })
  }
  worker.on('error', fail)
  worker.on('exit', () => {
    void keepOrSettle(job, result, fail).then(() => {
      at.running = null
      startNext()
    })
  })
}

/** What was made without some of the pictures is shown, but not kept. */
async function keepOrSettle(
  { journalRow, key, keep }: AlignmentJob,
  result: Extract<FromAlignment, { say: 'done' }> | null,
  fail: (error: unknown) => void,
): Promise<void> {
  if (result === null) return
  const { photos, missing } = result
  if (missing.length === 0) return keep(photos).catch(fail)
  if (photos.length === 0) return fail(new Error(missing.join(' ')))
  settle(journalRow, { key, state: 'incomplete', photos, detail: missing.join(' '), until: Date.now() + againAfterMs })
}

/** The worker lies in the bundle that the program was started from. */
function startWorker(order: AlignmentOrder): Worker {
  const place = new URL('store/alignment-worker.mjs', process.env.THROWMARK_BUNDLE)
  return new Worker(/* turbopackIgnore: true */ place, { workerData: order })
}
