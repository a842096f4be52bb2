/**
 * From a traced way of pixels to a line on the map: drawn onto the middle of the dark line to a part of a pixel, without the steps of the raster,
 * and with no more vertices than the noise of a hand's pick is worth.
 */
import { type MapPoint, radiusAt, type Surface } from '../journal/surface'
import { thinnedPath } from './thinned-path'
import type { TraceField } from './trace-field'

/** mm of a column in each row of a map that lies rear first. */
export function stepsAround(surface: Surface, width: number, height: number): Float32Array {
  const turn = (2 * Math.PI) / width
  return Float32Array.from({ length: height }, (_, row) => radiusAt(surface, surface.totalS * (1 - (row + 0.5) / height)) * turn)
}

/** @param noiseMm one standard deviation of a hand's pick on the map */
export function tracedLine(surface: Surface, field: TraceField, path: readonly { x: number; y: number }[], noiseMm: number): MapPoint[] {
  return thinnedPath(centredOn(field, path), Math.max(0.03, noiseMm / 3) / field.stepAlong).map(({ x, y }) => ({
    theta: ((x + 0.5) / field.width) * 2 * Math.PI,
    s: Math.min(surface.totalS, Math.max(0, surface.totalS * (1 - (y + 0.5) / field.height))),
  }))
}

/** The pixel of a map point; x runs with the angle, past the width. */
export function pixelOfMap(
  surface: Surface,
  field: Pick<TraceField, 'width' | 'height'>,
  { theta, s }: MapPoint,
): { x: number; y: number } {
  return { x: (theta / (2 * Math.PI)) * field.width - 0.5, y: (1 - s / surface.totalS) * field.height - 0.5 }
}

function centredOn({ width, height, lineness }: TraceField, path: readonly { x: number; y: number }[]): { x: number; y: number }[] {
  const value = (x: number, y: number) => {
    const row = Math.min(height - 1, Math.max(0, y))
    const at = 8 * (row * width + (((x % width) + width) % width))
    let most = 0
    for (let k = 0; k < 8; k++) if (lineness[at + k] > most) most = lineness[at + k]
    return most
  }
  return path.map(({ x, y }) => {
    let [sumX, sumY, weight] = [0, 0, 0]
    for (let dy = -1; dy <= 1; dy++) {
      for (let dx = -1; dx <= 1; dx++) {
        const own = value(x + dx, y + dy)
        sumX += own * dx
        sumY += own * dy
        weight += own
      }
    }
    return weight > 0 ? { x: x + sumX / weight, y: y + sumY / weight } : { x, y }
  })
}
