import { describe, expect, it } from 'vitest'
import { plainKernel } from '../../../lib/rollout/plain-kernel'
import { rollout, rolloutSize, type RolloutStripe, stripeRows } from '../../../lib/rollout/rollout'
import { openRolloutClient } from '../../../lib/rollout/rollout-client'
import { type FromWorker, rolloutService, type ToWorker } from '../../../lib/rollout/rollout-messages'
import { benchCamera, benchSurface, plainPicture } from './journal-on-the-bench'

const size = rolloutSize(benchSurface, 6)

/** A worker in the same thread: messages arrive in later turns, as from a real one. */
function workerHere(): Worker {
  const worker = { onmessage: null as ((event: { data: FromWorker }) => void) | null, onerror: null, terminate: () => undefined }
  const breathe = () => new Promise<void>((resolve) => setImmediate(resolve))
  const handle = rolloutService(Promise.resolve(plainKernel), (data) => setImmediate(() => worker.onmessage?.({ data })), breathe)
  return Object.assign(worker, { postMessage: (message: ToWorker) => setImmediate(() => handle(message)) }) as unknown as Worker
}

describe('rollout worker and client', () => {
  it('two workers bring the same map as the kernel, each its stripes rear first', async () => {
    const client = openRolloutClient([workerHere(), workerHere()])
    client.setPicture('ph1', plainPicture([10, 20, 30]))
    const stripes: RolloutStripe[] = []
    const order = { surface: benchSurface, views: [{ photoId: 'ph1', camera: benchCamera(40), ignore: [] }], size }
    // twice, since the second time the memory of the first is used again
    for (let time = 0; time < 2; time++) {
      stripes.length = 0
      const keep = (stripe: RolloutStripe) =>
        stripes.push({ ...stripe, blocks: stripe.blocks.map((block) => ({ ...block, rgba: block.rgba.slice() })) })
      expect(
        await client.render({ ...order, views: time === 0 ? [{ ...order.views[0], camera: benchCamera(90) }] : order.views }, keep),
      ).toBe('done')
    }
    for (const share of [0, 1]) {
      const rows = stripes.map((stripe) => stripe.firstRow).filter((row) => (row / stripeRows) % 2 === share)
      expect(rows.length).toBeGreaterThan(1)
      expect(rows).toEqual([...rows].sort((a, b) => a - b))
    }
    stripes.sort((a, b) => a.firstRow - b.firstRow)
    const bytes = Buffer.alloc(4 * size.width * size.height)
    for (const { firstRow, rows, blocks } of stripes) {
      for (const { firstColumn, columns, rgba } of blocks) {
        for (let row = 0; row < rows; row++)
          bytes.set(rgba.subarray(4 * row * columns, 4 * (row + 1) * columns), 4 * ((firstRow + row) * size.width + firstColumn))
      }
    }
    const whole = rollout(benchSurface, [{ picture: plainPicture([10, 20, 30]), camera: benchCamera(40), ignore: [] }], size)
    expect(Buffer.compare(bytes, Buffer.from(whole?.rgba ?? []))).toBe(0)
  })

  it('a newer order supersedes the running one, whose stripes then stop', async () => {
    const client = openRolloutClient([workerHere(), workerHere()])
    client.setPicture('ph1', plainPicture([10, 20, 30]))
    const order = (angle: number) => ({ surface: benchSurface, views: [{ photoId: 'ph1', camera: benchCamera(angle), ignore: [] }], size })
    const late: number[] = []
    let secondStarted = false
    const first = client.render(order(0), () => late.push(secondStarted ? 1 : 0))
    const second = client.render(order(90), () => undefined)
    secondStarted = true
    expect(await Promise.all([first, second])).toEqual(['superseded', 'done'])
    expect(late).toEqual([])
  })

  it('leaves out photographs whose picture it was not given or that were dropped', async () => {
    const client = openRolloutClient([workerHere(), workerHere()])
    client.setPicture('ph1', plainPicture([10, 20, 30]))
    client.dropPicture('ph1')
    let covered = 0
    const order = { surface: benchSurface, views: [{ photoId: 'ph1', camera: benchCamera(0), ignore: [] }], size }
    await client.render(order, (stripe) => {
      covered += stripe.blocks.length
    })
    expect(covered).toBe(0)
  })

  it('tells what broke', async () => {
    const client = openRolloutClient([workerHere(), workerHere()])
    client.setPicture('ph1', plainPicture([10, 20, 30]))
    const order = {
      surface: benchSurface,
      views: [{ photoId: 'ph1', camera: benchCamera(0), ignore: [] }],
      size: { width: -1, height: 10 },
    }
    await expect(client.render(order, () => undefined)).rejects.toThrow()
  })
})
