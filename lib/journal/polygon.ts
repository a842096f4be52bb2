/** Closed outlines on the flat map. */

/** Whether a point lies inside a polygon (even-odd rule), all in the same flat coordinates. */
export function encloses(polygon: readonly (readonly [number, number])[], [x, y]: readonly [number, number]): boolean {
  let inside = false
  for (let i = 0, j = polygon.length - 1; i < polygon.length; j = i++) {
    const [xi, yi] = polygon[i]
    const [xj, yj] = polygon[j]
    if (yi > y !== yj > y && x < ((xj - xi) * (y - yi)) / (yj - yi) + xi) inside = !inside
  }
  return inside
}
