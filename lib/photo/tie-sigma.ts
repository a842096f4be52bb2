/**
 * How well a tie holds where its place is seen obliquely. Beside what the patches themselves tell, each photograph adds what a pixel's
 * blur and the light on rough steel shift a patch by, the more the further it turns away. Found on ties between rendered shop photographs
 * whose true difference is known (2,238 ties of sets below seed 1000): no source.
 */

/** What a photograph adds where it faces the camera, one standard deviation, mm. */
const facingMm = 0.023
/** Seen at less than this it tells next to nothing more. */
const leastCosine = 0.25

/**
 * Information (around, along; mm^-2: xx, xy, yy) of a tie between photographs that see its place at these cosines, of the angle about the shaft
 * between place and camera.
 */
export function tieInformation(patch: readonly [number, number, number], cosines: readonly number[]): [number, number, number] {
  const [xx, xy, yy] = patch
  const determinant = xx * yy - xy * xy
  if (!(determinant > 0)) return [0, 0, 0]
  let around = yy / determinant
  let along = xx / determinant
  for (const cosine of cosines) {
    const facing = Math.max(leastCosine, cosine)
    around += (facingMm / facing ** 2) ** 2
    along += (facingMm / facing) ** 2
  }
  const across = -xy / determinant
  const whole = around * along - across * across
  return [along / whole, -across / whole, around / whole]
}
