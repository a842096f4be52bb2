/**
 * The thin line that a mark's vertex catches: dark in white light, glowing under ultraviolet, running any way. Its direction is not known, and on
 * ground steel the lay is what changes most, so every direction is tried, each is measured against what it shows all around the place, and the
 * clearest line near the place wins.
 */
import { type Patch, parabolaTop, profileAcross, smoothed, straightCrossings } from './snap-profile'
import type { Snapped } from './snap'

const directions = 12
/** The profile is averaged along so many px of the patch to either side: a crack is about straight for so long. */
const alongPx = 4
/** A line's middle is compared with both sides so many px of the patch away. */
const sidesPx = [1, 3]
/** So many standard deviations below the weaker of its sides a line is caught: half of the medium cracks are, and one place of bare steel in six. */
const leastHeight = 3.2
/** What is usual is told from profiles beside the place, so many px along the line, and this much wider than the reach. */
const besidePx = [-18, -9, 9, 18]
const widerThanReach = 1.8

type Found = { offsetPx: number; worth: number }

/** @returns the nearest place on the line's middle; null where no clear line lies within reach */
export function lineBeneath(patch: Patch, at: { u: number; v: number }, reachPx: number, glows: boolean): Snapped | null {
  const dark = glows ? { ...patch, grey: patch.grey.map((value) => -value) } : patch
  let best: { worth: number; place: Snapped } | null = null
  for (let k = 0; k < directions; k++) {
    const angle = (k * Math.PI) / directions
    const across = [Math.cos(angle), Math.sin(angle)] as const
    const found = lineAcross(dark, at, across, reachPx)
    if (found && found.worth > (best?.worth ?? 0))
      best = { worth: found.worth, place: { u: at.u + found.offsetPx * across[0], v: at.v + found.offsetPx * across[1] } }
  }
  return best?.place ?? null
}

/** The best line across one direction: hair-thin or a few px wide. */
function lineAcross(patch: Patch, at: { u: number; v: number }, across: readonly [number, number], reachPx: number): Found | null {
  const profileAt = (along: number) => {
    const place = { u: at.u - along * patch.scale * across[1], v: at.v + along * patch.scale * across[0] }
    return profileAcross(patch, straightCrossings(patch, place, across, alongPx * patch.scale), widerThanReach * reachPx)
  }
  const own = profileAt(0)
  if (!own) return null
  const smooth = [own, ...besidePx.flatMap((along) => profileAt(along) ?? [])].map((profile) => smoothed(profile, 1.2))
  let best: Found | null = null
  for (const sidePx of sidesPx) {
    const found = bestLine(smooth, own.step, 2 * sidePx, reachPx)
    if (found && found.worth > (best?.worth ?? 0)) best = found
  }
  return best
}

/** The best line on the first of these profiles, measured in standard deviations of how all of them bend. The weaker side counts, so that an edge is none. */
function bestLine(profiles: readonly (readonly number[])[], step: number, side: number, reachPx: number): Found | null {
  const usual = profiles.flatMap((values) =>
    values.slice(side, -side).map((value, i) => Math.abs(values[i] + values[i + 2 * side] - 2 * value)),
  )
  usual.sort((a, b) => a - b)
  // the quarter that bends least: other lines may fill half of the surroundings
  const deviation = Math.max(0.3, usual[usual.length >> 2] / 0.3186)
  const values = profiles[0]
  const height = (i: number) => (2 * (Math.min(values[i - side], values[i + side]) - values[i])) / deviation
  const bend = (i: number) => values[i - side] + values[i + side] - 2 * values[i]
  const middle = (values.length - 1) / 2
  const reach = Math.min(middle - side - 1, Math.floor(reachPx / step))
  let best: Found | null = null
  for (let i = middle - reach; i <= middle + reach; i++) {
    const here = height(i)
    if (here < leastHeight || here <= height(i - 1) || here < height(i + 1)) continue
    // of two lines as clear the nearer one is meant
    const worth = here * (1 - 0.5 * ((i - middle) / reach) ** 2)
    if (worth > (best?.worth ?? 0)) best = { worth, offsetPx: (i - middle + parabolaTop(bend(i - 1), bend(i), bend(i + 1))) * step }
  }
  return best
}
