/**
 * Evens out exposure, white balance and lighting between the photographs of a journal: each gets a smooth field of gains, so that those that show
 * the same cells of the map agree there (`even-out.ts`). Only what photographs disagree about is corrected; one that stands alone stays as it
 * is, and a dark or bright place of the metal itself is shown alike by all and stays.
 *
 * Photographs under ultraviolet are never blended into those in white light. Steel is grey: in white light its red and blue keep within what
 * white balance leaves, under ultraviolet the lamp's own violet is nearly all that comes back. A photograph counts as ultraviolet where the
 * median of ln(blue / red) over its cells is at least 0.25, and at least 0.3 above that of the journal's least blue photograph (pictures in
 * white light gave -0.13 to 0.02, under ultraviolet 0.42 to 0.69; the limits are from those pictures, no published source). Such photographs are
 * evened out among themselves and show only where no other does.
 */
import { median } from '../journal/median'
import type { Surface } from '../journal/surface'
import { cameraPlace } from '../photo/camera'
import { evenedOut } from './even-out'
import type { GainField } from './gain-field'
import { type CellsShown, type CoarseView, cellGrid, cellsShown } from './map-cells'

/** What to do to a photograph before it is blended; nothing to even out where it stands alone. */
export type Exposure = {
  ultraviolet: boolean
  /** `keeps`: for each cell of the map (`cellGrid`) the share of its weight that the photograph keeps beside others. */
  even: { field: GainField; keeps: Float32Array } | null
}

/** One for each view, in their order. */
export function exposuresOf(surface: Surface, views: readonly CoarseView[]): Exposure[] {
  const grid = cellGrid(surface)
  const shown = views.map((view) => cellsShown(surface, view, grid))
  const exposures: Exposure[] = areUltraviolet(shown).map((ultraviolet) => ({ ultraviolet, even: null }))
  for (const group of [false, true]) {
    const members = views.flatMap((_, i) => (exposures[i].ultraviolet === group ? [i] : []))
    if (members.length < 2) continue
    const evened = evenedOut(
      members.map((i) => shown[i]),
      grid,
      surface.totalS,
    )
    members.forEach((i, k) => {
      const [x, y] = cameraPlace(views[i].camera)
      const { coefficients, keeps } = evened[k]
      const field = { middle: Math.atan2(y, x), totalS: surface.totalS, coefficients }
      exposures[i].even = { field, keeps }
    })
  }
  return exposures
}

const bluerThanRed = 0.25
const bluerThanOthers = 0.3

function areUltraviolet(shown: readonly CellsShown[]): boolean[] {
  const blueness = shown.map(({ logs }) => median(logs[2].map((blue, i) => blue - logs[0][i])))
  const least = Math.min(...blueness)
  return blueness.map((value) => value >= bluerThanRed && value >= least + bluerThanOthers)
}
