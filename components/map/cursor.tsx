'use client'
/** The one cursor that all pictures share. */
import type { SteelColours } from './steel-colours'
import { HaloLine } from './steel-line'
import type { ScreenPoint } from './view'

export function Cursor({ at, colours }: { at: ScreenPoint; colours: SteelColours }) {
  const arm = 15
  return (
    <>
      <HaloLine
        points={[
          { x: at.x - arm, y: at.y },
          { x: at.x + arm, y: at.y },
        ]}
        width={1.3}
        colour={colours.ink}
        halo={colours.halo}
      />
      <HaloLine
        points={[
          { x: at.x, y: at.y - arm },
          { x: at.x, y: at.y + arm },
        ]}
        width={1.3}
        colour={colours.ink}
        halo={colours.halo}
      />
    </>
  )
}
