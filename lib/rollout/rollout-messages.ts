/**
 * What a page and its rollout worker say to each other, and the worker's side of it: pictures are kept by photo id until dropped; a new order
 * ends the one before it; stripes go back as they are ready, rear first. Errors go back in words, never lost in the worker.
 */
import type { Surface } from '../journal/surface'
import type { Pixel } from '../model/photo'
import type { Camera } from '../photo/camera'
import { type Picture, type Pyramid, pyramidOf } from './picture'
import { type RolloutJob, type RolloutSize, type RolloutStripe, rolloutJob, rolloutStripe, stripeRows } from './rollout'

/** Which photographs, through which cameras, onto what map. Views whose picture the worker does not hold are left out. */
export type RolloutOrder = {
  surface: Surface
  views: readonly { photoId: string; camera: Camera; ignore: readonly (readonly Pixel[])[] }[]
  size: RolloutSize
}

export type ToWorker =
  | { say: 'picture'; photoId: string; picture: Picture }
  | { say: 'drop'; photoId: string }
  | { say: 'render'; orderId: number; order: RolloutOrder }

export type FromWorker =
  | { say: 'stripe'; orderId: number; stripe: RolloutStripe }
  | { say: 'done'; orderId: number }
  | { say: 'superseded'; orderId: number }
  | { say: 'failed'; orderId: number; message: string }

/**
 * The worker's side. `send` posts a message, handing over the buffers listed; `breathe` resolves after other messages have had their turn.
 * Returns the handler of incoming messages.
 */
export function rolloutService(send: (message: FromWorker, handOver: ArrayBufferLike[]) => void, breathe: () => Promise<void>) {
  const pictures = new Map<string, Pyramid>()
  let current = 0

  async function render(orderId: number, order: RolloutOrder): Promise<void> {
    try {
      const job = jobOf(order, pictures)
      for (let firstRow = 0; firstRow < order.size.height; firstRow += stripeRows) {
        await breathe()
        if (orderId !== current) return send({ say: 'superseded', orderId }, [])
        const stripe = rolloutStripe(job, firstRow, Math.min(stripeRows, order.size.height - firstRow))
        send({ say: 'stripe', orderId, stripe }, [stripe.rgba.buffer])
      }
      send({ say: 'done', orderId }, [])
    } catch (error) {
      send({ say: 'failed', orderId, message: error instanceof Error ? error.message : String(error) }, [])
    }
  }

  return (message: ToWorker): void => {
    if (message.say === 'picture') pictures.set(message.photoId, pyramidOf(message.picture))
    else if (message.say === 'drop') pictures.delete(message.photoId)
    else {
      current = message.orderId
      void render(message.orderId, message.order)
    }
  }
}

function jobOf(order: RolloutOrder, pictures: ReadonlyMap<string, Pyramid>): RolloutJob {
  const views = []
  const pyramids = []
  for (const { photoId, camera, ignore } of order.views) {
    const pyramid = pictures.get(photoId)
    if (!pyramid) continue
    views.push({ picture: pyramid.levels[0], camera, ignore })
    pyramids.push(pyramid)
  }
  return rolloutJob(order.surface, views, order.size, false, pyramids)
}
