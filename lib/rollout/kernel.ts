/**
 * What a rollout's inner loops must do, whoever does them: `simd-kernel.ts` in WebAssembly, or `plain-kernel.ts` in plain TypeScript, its oracle and
 * what runs where WebAssembly has no SIMD. Both agree within 1.5 grey levels.
 */
import type { Picture } from './picture'
import type { WarpPlan } from './warp-plan'

/** How a pixel is read where the map is as fine as the picture or finer. Where it is coarser, pixels are averaged in either case. */
export type Sampling = 'bilinear' | 'bicubic'

/** A picture in the kernel's own form. */
export type HeldPicture = { readonly width: number; readonly height: number; release(): void }

/** Pixels of a map `width` wide, or of a part of its rows. */
export type MapPixels = { width: number; rgba: Uint8ClampedArray; sources: Uint8Array | null }

/** Sums of weighted colours for some rows of the map, and the photograph that weighs most. */
export type Sums = {
  readonly width: number
  readonly rows: number
  /** Whether nothing was added since they were settled. */
  readonly empty: boolean
  /** Adds a photograph; `index` is put down where it weighs more than those before. */
  add(picture: HeldPicture, plan: WarpPlan, sampling: Sampling, index: number): void
  /**
   * Writes the weighted means of the first rows and columns into a map from pixel `at` on, alpha 255, and the photographs that weigh most unless its
   * sources are null; pixels to which nothing was added stay as they are there. The sums are empty again afterwards.
   */
  settle(rows: number, columns: number, map: MapPixels, at: number): void
  /**
   * Both at once, with empty sums, where the photograph is the only one: its plan is made for one alone. Writes every pixel: 0, and 255 for its photograph,
   * where nothing is shown.
   */
  alone(
    picture: HeldPicture,
    plan: WarpPlan,
    sampling: Sampling,
    index: number,
    rows: number,
    columns: number,
    map: MapPixels,
    at: number,
  ): void
  release(): void
}

export type Kernel = {
  hold(picture: Picture): HeldPicture
  sums(width: number, rows: number, wantSources: boolean): Sums
}
