/** Outlines to leave out of a photograph: inside or not, and how far off the edge. Pixels of the photograph. */
import type { Pixel } from '../model/photo'

export type Outlines = { polygons: Float64Array[]; boxes: { left: number; top: number; right: number; bottom: number }[] }

export function outlinesOf(ignore: readonly (readonly Pixel[])[]): Outlines {
  const polygons = ignore.map((outline) => Float64Array.from(outline.flat()))
  const boxes = ignore.map((outline) => ({
    left: Math.min(...outline.map((p) => p[0])),
    right: Math.max(...outline.map((p) => p[0])),
    top: Math.min(...outline.map((p) => p[1])),
    bottom: Math.max(...outline.map((p) => p[1])),
  }))
  return { polygons, boxes }
}

/** Whether a pixel lies within any of the outlines (even-odd rule for each). */
export function withinOutlines(outlines: Outlines, u: number, v: number): boolean {
  for (let i = 0; i < outlines.polygons.length; i++) {
    const box = outlines.boxes[i]
    if (u >= box.left && u <= box.right && v >= box.top && v <= box.bottom && within(outlines.polygons[i], u, v)) return true
  }
  return false
}

/** Distance in px from a pixel outside every outline to the nearest edge, `reach` where it is further; 0 inside one. */
export function distanceToOutlines(outlines: Outlines, u: number, v: number, reach: number): number {
  let nearest = reach
  for (let i = 0; i < outlines.polygons.length; i++) {
    const box = outlines.boxes[i]
    if (u < box.left - nearest || u > box.right + nearest || v < box.top - nearest || v > box.bottom + nearest) continue
    if (within(outlines.polygons[i], u, v)) return 0
    nearest = Math.min(nearest, distanceToEdge(outlines.polygons[i], u, v))
  }
  return nearest
}

function within(polygon: Float64Array, u: number, v: number): boolean {
  let inside = false
  const n = polygon.length
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const above = polygon[i + 1] > v
    if (above === polygon[j + 1] > v) continue
    const crossing = polygon[i] + ((v - polygon[i + 1]) * (polygon[j] - polygon[i])) / (polygon[j + 1] - polygon[i + 1])
    if (u < crossing) inside = !inside
  }
  return inside
}

function distanceToEdge(polygon: Float64Array, u: number, v: number): number {
  let nearest = Number.POSITIVE_INFINITY
  const n = polygon.length
  for (let i = 0, j = n - 2; i < n; j = i, i += 2) {
    const du = polygon[i] - polygon[j]
    const dv = polygon[i + 1] - polygon[j + 1]
    const square = du * du + dv * dv
    const t = square > 0 ? Math.min(1, Math.max(0, ((u - polygon[j]) * du + (v - polygon[j + 1]) * dv) / square)) : 0
    nearest = Math.min(nearest, Math.hypot(u - polygon[j] - t * du, v - polygon[j + 1] - t * dv))
  }
  return nearest
}
