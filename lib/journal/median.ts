/** The middle of some numbers by size; of an even count the upper one of the two, of none 0. */
export function median(values: Iterable<number>): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[sorted.length >> 1] ?? 0
}
