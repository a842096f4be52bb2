/**
 * The rollout: the journal's surface unrolled from its photographs, blended. Column i of the map lies at angle (i + 0.5) / width * 360 degrees,
 * row k at s = S (1 - (k + 0.5) / height): rear on top, seen from outside, never mirrored.
 */
import type { Surface } from '../journal/surface'
import type { Camera } from '../photo/camera'
import type { Pixel } from '../model/photo'
import { exposuresOf } from './exposure'
import type { HeldPicture, Kernel, MapPixels, Sampling, Sums } from './kernel'
import { coarseHalvings, coarsePicture, type Picture } from './picture'
import { plainKernel } from './plain-kernel'
import { seamsOf } from './seams'
import { mapGrid } from './map-grid'
import { bearsOn, partsOf } from './block-parts'
import { type Block, planBlock, type WarpJob } from './warp-plan'
import { warpView } from './warp-view'

/** One photograph to roll out. The camera and the outlines to leave out are in px of the photograph, whatever the picture's own size. */
export type RolloutView = { picture: Picture; camera: Camera; ignore: readonly (readonly Pixel[])[] }
export type RolloutSize = { width: number; height: number }

export type Rollout = RolloutSize & {
  /** Alpha 255 where any photograph covers, otherwise 0. */
  rgba: Uint8ClampedArray
  /** Index of the photograph that weighs most at each pixel, 255 for none; null unless asked for. */
  sources: Uint8Array | null
}

/** Some rows of the map in blocks, from left to right; where none lies no photograph covers. */
export type RolloutStripe = { firstRow: number; rows: number; width: number; blocks: RolloutBlock[] }
export type RolloutBlock = { firstColumn: number; columns: number; rgba: Uint8ClampedArray; sources: Uint8Array | null }

/** What stays the same from stripe to stripe. */
export type RolloutJob = WarpJob & { sampling: Sampling; wantSources: boolean }

/** A photograph of which no more than a coarse picture is needed yet (`coarsePicture`), and the size of the picture to come. */
export type RolloutPhoto = Omit<RolloutView, 'picture'> & { pictureSize: { width: number; height: number }; coarse: Picture }

/** Some rows of the map; `firstRow` is a multiple of `stripeRows`. */
export type Stripe = { firstRow: number; rows: number }

export const stripeRows = 64
const blockColumns = 512

/** The map's size at so many px per mm of the cylinder. */
export function rolloutSize(surface: Surface, pxPerMm: number): RolloutSize {
  return { width: Math.round(2 * Math.PI * surface.radius * pxPerMm), height: Math.round(surface.totalS * pxPerMm) }
}

/** The whole map from pictures at hand. */
export function rollout(
  surface: Surface,
  views: readonly RolloutView[],
  size: RolloutSize,
  options: { sources?: boolean; sampling?: Sampling; kernel?: Kernel } = {},
): Rollout {
  const kernel = options.kernel ?? plainKernel
  const job = rolloutJob(surface, views.map(rolloutPhoto), size, { sources: options.sources, sampling: options.sampling })
  const held = views.map(({ picture }) => kernel.hold(picture))
  const sums = blockSums(kernel, job)
  const whole = emptyRollout(job)
  for (const stripe of stripesOf(size.height)) fillStripe(job, sums, held, stripe, whole)
  for (const one of [sums, ...held]) one.release()
  return whole
}

export function rolloutPhoto({ picture, camera, ignore }: RolloutView): RolloutPhoto {
  return { camera, ignore, pictureSize: picture, coarse: coarsePicture(picture, coarseHalvings(picture, camera)) }
}

/** Prepares a rollout: exposures are compared here, once. */
export function rolloutJob(
  surface: Surface,
  photos: readonly RolloutPhoto[],
  size: RolloutSize,
  { sources = false, sampling = 'bilinear' }: { sources?: boolean; sampling?: Sampling } = {},
): RolloutJob {
  if (size.width < 1 || size.height < 1) throw new Error(`a map of ${size.width} x ${size.height} px`)
  if (photos.length > 254) throw new Error('more than 254 photographs in one rollout')
  const plain = photos.map(({ camera, ignore, pictureSize, coarse }) => warpView(camera, ignore, pictureSize, coarse, surface.radius))
  const exposures = exposuresOf(surface, plain)
  const views = plain.map((view, i) => ({ ...view, exposure: exposures[i] }))
  return {
    grid: mapGrid(
      surface,
      photos.map(({ camera }) => camera),
      size,
    ),
    views,
    seams: seamsOf(surface, views),
    sampling,
    wantSources: sources,
  }
}

/** The stripes that a map is made in, rear first. */
export function stripesOf(height: number): Stripe[] {
  const count = Math.ceil(height / stripeRows)
  return Array.from({ length: count }, (_, k) => ({ firstRow: k * stripeRows, rows: Math.min(stripeRows, height - k * stripeRows) }))
}

/** Empty sums for `rolloutStripe` and `fillStripe`, which leave them empty. A block of them stays in the processor's cache. */
export function blockSums(kernel: Kernel, { wantSources }: Pick<RolloutJob, 'wantSources'>): Sums {
  return kernel.sums(blockColumns, stripeRows, wantSources)
}

/** One stripe, from pictures in the order of the job's photographs. `room` gives so many bytes, all 0 if they must be empty. */
export function rolloutStripe(
  job: RolloutJob,
  sums: Sums,
  held: readonly HeldPicture[],
  { firstRow, rows }: Stripe,
  room: (bytes: number, empty: boolean) => ArrayBufferLike = (bytes) => new ArrayBuffer(bytes),
): RolloutStripe {
  const { width } = job.grid
  const blocks: RolloutBlock[] = []
  for (const { firstColumn, columns } of blocksOf(width)) {
    fillBlock(job, sums, held, { firstRow, rows, firstColumn, columns }, (filled) => {
      const rgba = new Uint8ClampedArray(room(columns * rows * 4, !filled))
      const block = { firstColumn, columns, rgba, sources: emptySources(job, columns * rows) }
      blocks.push(block)
      return { map: { width: columns, ...block }, at: 0 }
    })
  }
  return { firstRow, rows, width, blocks }
}

/** The same into the whole map, where it is empty still or holds an earlier map of the same photographs and cameras. */
export function fillStripe(job: RolloutJob, sums: Sums, held: readonly HeldPicture[], { firstRow, rows }: Stripe, whole: Rollout): void {
  for (const { firstColumn, columns } of blocksOf(whole.width)) {
    const at = firstRow * whole.width + firstColumn
    fillBlock(job, sums, held, { firstRow, rows, firstColumn, columns }, () => ({ map: whole, at }))
  }
}

function blocksOf(width: number): { firstColumn: number; columns: number }[] {
  return Array.from({ length: Math.ceil(width / blockColumns) }, (_, k) => {
    return { firstColumn: k * blockColumns, columns: Math.min(blockColumns, width - k * blockColumns) }
  })
}

/** `into` is asked for where the block lies in a map, unless no photograph covers any of it; told whether every pixel there will be written. */
function fillBlock(
  job: RolloutJob,
  sums: Sums,
  held: readonly HeldPicture[],
  block: Block,
  into: (filled: boolean) => { map: MapPixels; at: number },
): void {
  let place: { map: MapPixels; at: number } | null = null
  for (const part of partsOf(job, block)) {
    const { rows, columns, alone } = part
    const plan = alone === null ? null : planBlock(job, alone, part, true)
    if (alone === null) for (const [index, picture] of held.entries()) addToBlock(job, sums, picture, index, part)
    if (plan ? plan.count === 0 : sums.empty) continue
    place ??= into(alone !== null && columns === block.columns)
    const at = place.at + part.firstColumn - block.firstColumn
    if (plan && alone !== null) sums.alone(held[alone], plan, job.sampling, alone, rows, columns, place.map, at)
    else sums.settle(rows, columns, place.map, at)
  }
}

/** Adds one photograph to the sums of a part of the map. */
export function addToBlock(job: RolloutJob, sums: Sums, picture: HeldPicture, index: number, block: Block): void {
  if (!bearsOn(job, index, block)) return
  sums.add(picture, planBlock(job, index, block), job.sampling, index)
}

export function emptyRollout(job: RolloutJob): Rollout {
  const { width, height } = job.grid
  return { width, height, rgba: new Uint8ClampedArray(width * height * 4), sources: emptySources(job, width * height) }
}

function emptySources({ wantSources }: RolloutJob, pixels: number): Uint8Array | null {
  return wantSources ? new Uint8Array(pixels).fill(255) : null
}
