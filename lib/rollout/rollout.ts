/**
 * The rollout: the journal's surface unrolled from its photographs, blended. Column i of the map lies at angle (i + 0.5) / width * 360 degrees,
 * row k at s = S (1 - (k + 0.5) / height): rear on top, seen from outside, never mirrored.
 */
import type { Surface } from '../journal/surface'
import type { Camera } from '../photo/camera'
import type { Pixel } from '../model/photo'
import { type Blend, emptyBlend, settle } from './blend'
import { exposuresOf } from './exposure'
import { type Picture, type Pyramid, pyramidOf } from './picture'
import { columnNodes, type ColumnNodes, viewLimits, warpStripe, type WarpView } from './warp'

/** One photograph to roll out. The camera and the outlines to leave out are in px of the photograph, whatever the picture's own size. */
export type RolloutView = { picture: Picture; camera: Camera; ignore: readonly (readonly Pixel[])[] }
export type RolloutSize = { width: number; height: number }

export type Rollout = RolloutSize & {
  /** Alpha 255 where any photograph covers, otherwise 0. */
  rgba: Uint8ClampedArray
  /** Index of the photograph that weighs most at each pixel, 255 for none; null unless asked for. */
  sources: Uint8Array | null
}

export type RolloutStripe = { firstRow: number; rows: number; width: number; rgba: Uint8ClampedArray; sources: Uint8Array | null }

/** What stays the same from stripe to stripe. */
export type RolloutJob = { surface: Surface; views: WarpView[]; size: RolloutSize; nodes: ColumnNodes; wantSources: boolean }

export const stripeRows = 32

/** The map's size at so many px per mm of the cylinder. */
export function rolloutSize(surface: Surface, pxPerMm: number): RolloutSize {
  return { width: Math.round(2 * Math.PI * surface.radius * pxPerMm), height: Math.round(surface.totalS * pxPerMm) }
}

/** The whole map; null where `isCancelled` answered true between two stripes. `onProgress` hears shares 0..1. */
export function rollout(
  surface: Surface,
  views: readonly RolloutView[],
  size: RolloutSize,
  options: { sources?: boolean; onProgress?: (share: number) => void; isCancelled?: () => boolean } = {},
): Rollout | null {
  const job = rolloutJob(surface, views, size, options.sources ?? false)
  const whole = emptyRollout(job)
  for (let firstRow = 0; firstRow < size.height; firstRow += stripeRows) {
    if (options.isCancelled?.()) return null
    keepStripe(whole, rolloutStripe(job, firstRow, Math.min(stripeRows, size.height - firstRow)))
    options.onProgress?.(Math.min(1, (firstRow + stripeRows) / size.height))
  }
  return whole
}

/** The same, awaiting `breathe` between stripes so that a server or a worker can answer others meanwhile; null where it answers 'stop'. */
export async function rolloutInTurns(
  surface: Surface,
  views: readonly RolloutView[],
  size: RolloutSize,
  breathe: () => Promise<'go' | 'stop'>,
): Promise<Rollout | null> {
  const job = rolloutJob(surface, views, size, false)
  const whole = emptyRollout(job)
  for (let firstRow = 0; firstRow < size.height; firstRow += stripeRows) {
    if ((await breathe()) === 'stop') return null
    keepStripe(whole, rolloutStripe(job, firstRow, Math.min(stripeRows, size.height - firstRow)))
  }
  return whole
}

/** Prepares a rollout; `pyramids` may carry each picture's halvings over from an earlier one. */
export function rolloutJob(
  surface: Surface,
  views: readonly RolloutView[],
  size: RolloutSize,
  wantSources: boolean,
  pyramids: readonly Pyramid[] = views.map((view) => pyramidOf(view.picture)),
): RolloutJob {
  if (views.length > 254) throw new Error('more than 254 photographs in one rollout')
  const limits = views.map((view, i) => viewLimits(view.camera, view.ignore, pyramids[i]))
  const exposures = exposuresOf(surface, limits)
  return {
    surface,
    views: limits.map((view, i) => ({ ...view, exposure: exposures[i] })),
    size,
    nodes: columnNodes(
      surface,
      views.map((view) => view.camera),
      size.width,
    ),
    wantSources,
  }
}

/** Rows firstRow .. firstRow + rows - 1 of the map. The same rows come out whatever the stripes. */
export function rolloutStripe(job: RolloutJob, firstRow: number, rows: number): RolloutStripe {
  const blend: Blend = emptyBlend(job.size.width * rows, job.wantSources)
  for (const [index, view] of job.views.entries()) warpStripe(job.surface, view, index, job.size, job.nodes, firstRow, rows, blend)
  return { firstRow, rows, width: job.size.width, rgba: settle(blend), sources: blend.sources }
}

function emptyRollout(job: RolloutJob): Rollout {
  const count = job.size.width * job.size.height
  return { ...job.size, rgba: new Uint8ClampedArray(count * 4), sources: job.wantSources ? new Uint8Array(count) : null }
}

function keepStripe(whole: Rollout, stripe: RolloutStripe): void {
  whole.rgba.set(stripe.rgba, stripe.firstRow * whole.width * 4)
  if (whole.sources && stripe.sources) whole.sources.set(stripe.sources, stripe.firstRow * whole.width)
}
