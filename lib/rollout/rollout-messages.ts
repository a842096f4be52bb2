/**
 * What a page and its rollout workers say to each other, and a worker's side of it: pictures are kept by photo id until dropped; a new order ends the one
 * before it; stripes go to the page as they are ready, rear first, and their memory comes back to be used again. Where memory can be shared it is: handed
 * over to and fro, it counts each time as newly taken, so that the page's whole memory is tidied up once a map, which takes as long as the map. Of
 * several workers each makes its share of the stripes. Errors go back in words, never lost in the worker.
 */
import type { Surface } from '../journal/surface'
import type { Pixel } from '../model/photo'
import type { Camera } from '../photo/camera'
import type { HeldPicture, Kernel, Sampling, Sums } from './kernel'
import { coarseHalvings, coarsePicture, type Picture } from './picture'
import { blockSums, type RolloutJob, type RolloutSize, type RolloutStripe, rolloutJob, rolloutStripe, stripesOf } from './rollout'

/** Which photographs, through which cameras, onto what map. Views whose picture the worker does not hold are left out. */
export type RolloutOrder = {
  surface: Surface
  views: readonly { photoId: string; camera: Camera; ignore: readonly (readonly Pixel[])[] }[]
  size: RolloutSize
  /** Bilinear if left out. */
  sampling?: Sampling
  /** Whether stripes tell which photograph each pixel comes from, as an index of `views`. */
  sources?: boolean
}

/** Of `of` workers the one with this number makes every `of`-th stripe. */
export type RolloutShare = { number: number; of: number }

export type ToWorker =
  | { say: 'picture'; photoId: string; picture: Picture }
  | { say: 'drop'; photoId: string }
  | { say: 'render'; orderId: number; order: RolloutOrder; share: RolloutShare }
  | { say: 'spent'; rooms: ArrayBufferLike[] }

export type FromWorker =
  | { say: 'stripe'; orderId: number; stripe: RolloutStripe }
  | { say: 'done'; orderId: number }
  | { say: 'superseded'; orderId: number }
  | { say: 'failed'; orderId: number; message: string }

/**
 * The worker's side. `send` posts a message, handing over the buffers listed; `breathe` resolves after other messages have had their turn.
 * Returns the handler of incoming messages.
 */
export function rolloutService(
  kernel: Promise<Kernel>,
  send: (message: FromWorker, handOver: ArrayBufferLike[]) => void,
  breathe: () => Promise<void>,
) {
  const pictures = new Map<string, KeptPicture>()
  let current = 0
  const sums = new Map<boolean, Sums>()
  const rooms = stripeRooms()

  async function render(orderId: number, order: RolloutOrder, share: RolloutShare): Promise<void> {
    try {
      const ready = await kernel
      const { job, held, places } = jobOf(order, pictures, ready)
      const wantSources = order.sources ?? false
      const empty = sums.get(wantSources) ?? blockSums(ready, { wantSources })
      sums.set(wantSources, empty)
      for (const [k, place] of stripesOf(order.size.height).entries()) {
        if (k % share.of !== share.number) continue
        await breathe()
        if (orderId !== current) return send({ say: 'superseded', orderId }, [])
        const stripe = rolloutStripe(job, empty, held, place, rooms.take)
        for (const { sources } of stripe.blocks) sources?.set(sources.map((source) => places[source] ?? 255))
        send({ say: 'stripe', orderId, stripe }, handedOver(roomsOf(stripe)))
      }
      send({ say: 'done', orderId }, [])
    } catch (error) {
      send({ say: 'failed', orderId, message: error instanceof Error ? error.message : String(error) }, [])
    }
  }

  return (message: ToWorker): void => {
    if (message.say === 'render') {
      current = message.orderId
      void render(message.orderId, message.order, message.share)
      return
    }
    if (message.say === 'spent') {
      rooms.giveBack(message.rooms)
      return
    }
    pictures.get(message.photoId)?.held?.release()
    if (message.say === 'picture') pictures.set(message.photoId, { picture: message.picture, held: null, coarse: new Map() })
    else pictures.delete(message.photoId)
  }
}

/** The memory of a stripe's pixels and sources. */
export function roomsOf({ blocks }: RolloutStripe): ArrayBufferLike[] {
  return blocks.flatMap(({ rgba, sources }) => [rgba, ...(sources ? [sources] : [])].map((pixels) => pixels.buffer))
}

/** What must be handed over with a message, because it cannot be shared. */
export function handedOver(rooms: readonly ArrayBufferLike[]): ArrayBuffer[] {
  return rooms.filter((room) => room instanceof ArrayBuffer)
}

/** A page may share memory only where it is isolated from other sites' pages; outside pages nothing is said of that. */
const canShare = typeof SharedArrayBuffer === 'function' && (globalThis as { crossOriginIsolated?: boolean }).crossOriginIsolated !== false
const newRoom = (bytes: number): ArrayBufferLike => (canShare ? new SharedArrayBuffer(bytes) : new ArrayBuffer(bytes))

/** Memory of stripes that came back, used again: what is new to a process costs more than filling it. */
function stripeRooms() {
  const spent = new Map<number, ArrayBufferLike[]>()
  return {
    take: (bytes: number, empty: boolean): ArrayBufferLike => {
      const room = spent.get(bytes)?.pop()
      if (!room) return newRoom(bytes)
      if (empty) new Uint8Array(room).fill(0)
      return room
    },
    giveBack: (rooms: readonly ArrayBufferLike[]): void => {
      for (const room of rooms) {
        const alike = spent.get(room.byteLength) ?? []
        if (alike.length < mostSpent) alike.push(room)
        spent.set(room.byteLength, alike)
      }
    },
  }
}

/** Of one size: 16 MB of the largest. A page that draws slowly gives many back at once. */
const mostSpent = 128

/** A picture, in the kernel's form once it was asked for, and its coarse ones by how often they are halved. */
type KeptPicture = { picture: Picture; held: HeldPicture | null; coarse: Map<number, Picture> }

function jobOf(order: RolloutOrder, pictures: ReadonlyMap<string, KeptPicture>, kernel: Kernel) {
  const present = order.views.flatMap((view, place) => {
    const kept = pictures.get(view.photoId)
    return kept ? [{ view, place, kept }] : []
  })
  const photos = present.map(({ view: { camera, ignore }, kept }) => ({
    camera,
    ignore,
    pictureSize: kept.picture,
    coarse: coarseOf(kept, camera),
  }))
  const job: RolloutJob = rolloutJob(order.surface, photos, order.size, order)
  const held = present.map(({ kept }) => {
    kept.held ??= kernel.hold(kept.picture)
    return kept.held
  })
  return { job, held, places: present.map(({ place }) => place) }
}

function coarseOf({ picture, coarse }: KeptPicture, camera: Camera): Picture {
  const halvings = coarseHalvings(picture, camera)
  const known = coarse.get(halvings) ?? coarsePicture(picture, halvings)
  coarse.set(halvings, known)
  return known
}
