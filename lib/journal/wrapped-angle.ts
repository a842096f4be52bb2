/** Angles about the journal without their whole turns. */

/** An angle in radians brought to [-pi, pi). */
export function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI))
}
