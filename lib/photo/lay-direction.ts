/**
 * Which way the lay of grinding runs in a close-up: the fine streaks around the journal leave most of the gradients along the
 * shaft's axis. Directions are taken from a histogram of gradients, each counted by no more than an ordinary streak's, so that
 * edges of highlights, stains and holes do not outvote the steel.
 */
import type { GreyPicture } from './grey-picture'

export type LayDirections = {
  /** Possible directions of the shaft's axis in the picture, radians from right to down, in [0, pi); the most likely first. */
  axes: number[]
  /** How far the first one's share stands above an even spread: 1 where the steel shows no lay. */
  clearness: number
}

const bins = 90
const smoothBins = 2
/** A second direction counts where it reaches this share of the first; directions nearer than this are one. */
const leastShare = 0.6
const apartBins = 10
const nearBins = 14

export function layDirections({ width, height, grey }: GreyPicture): LayDirections {
  const magnitudes: number[] = []
  const stride = 3
  for (let y = 1; y < height - 1; y += stride) {
    for (let x = 1; x < width - 1; x += stride) magnitudes.push(Math.hypot(...gradientAt(grey, width, x, y)))
  }
  const cap = 2 * (magnitudes.sort((a, b) => a - b)[magnitudes.length >> 1] ?? 0) + 1e-9
  const histogram = new Float64Array(bins)
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1; x < width - 1; x++) {
      const [gx, gy] = gradientAt(grey, width, x, y)
      const size = Math.hypot(gx, gy)
      if (size === 0) continue
      const place = ((Math.atan2(gy, gx) / Math.PI) * bins + 2 * bins) % bins
      const low = Math.floor(place)
      const weight = Math.min(size, cap)
      histogram[low % bins] += weight * (1 - (place - low))
      histogram[(low + 1) % bins] += weight * (place - low)
    }
  }
  return peaksOf(smoothed(histogram))
}

function peaksOf(histogram: Float64Array): LayDirections {
  const order = Array.from(histogram.keys()).sort((a, b) => histogram[b] - histogram[a])
  const apart = (a: number, b: number) => Math.min((a - b + bins) % bins, (b - a + bins) % bins)
  const peaks: number[] = []
  for (const bin of order) {
    if (histogram[bin] < leastShare * histogram[order[0]] || peaks.length === 2) break
    if (peaks.every((peak) => apart(peak, bin) >= apartBins)) peaks.push(bin)
  }
  // edges of highlights draw a peak aside: with two near each other the lay may lie between them
  if (peaks.length === 2 && apart(peaks[0], peaks[1]) <= nearBins) {
    const way = ((peaks[1] - peaks[0] + bins * 1.5) % bins) - bins / 2
    peaks.push((peaks[0] + way / 2 + bins) % bins)
  }
  const mean = histogram.reduce((sum, value) => sum + value, 0) / bins
  return { axes: peaks.map((bin) => (bin / bins) * Math.PI), clearness: mean > 0 ? histogram[order[0]] / mean : 1 }
}

function smoothed(histogram: Float64Array): Float64Array {
  return histogram.map((_, i) => {
    let sum = 0
    for (let d = -smoothBins; d <= smoothBins; d++) sum += histogram[(i + d + bins) % bins]
    return sum / (2 * smoothBins + 1)
  })
}

function gradientAt(grey: Float32Array, width: number, x: number, y: number): [number, number] {
  const at = y * width + x
  return [(grey[at + 1] - grey[at - 1]) / 2, (grey[at + width] - grey[at - width]) / 2]
}
