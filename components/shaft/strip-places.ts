/** Where the journals stand in the strip of the whole shaft: mains above, pins below, front to rear, neighbours joined through their cheeks. */

export type StripPlace = { x: number; row: 'main' | 'pin' }

/** Places in steps of half a cell; a journal stands one step after the one before it, and two after the last of its own row. */
export function stripPlaces(kinds: readonly ('main' | 'pin')[]): { places: StripPlace[]; steps: number } {
  const lastOf = { main: Number.NEGATIVE_INFINITY, pin: Number.NEGATIVE_INFINITY }
  let last = -1
  const places = kinds.map((row): StripPlace => {
    const x = Math.max(last + 1, lastOf[row] + 2)
    last = x
    lastOf[row] = x
    return { x, row }
  })
  return { places, steps: Math.max(0, last) + 2 }
}
