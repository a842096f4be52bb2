'use client'
/** The printed strip's codes as they were found in the photograph, on which side its edge that says FRONT must lie, and the middles of oil holes whose rims count. */
import { Group } from 'react-konva'
import type { SteelColours } from '@/components/map/steel-colours'
import { HaloLine, SteelText } from '@/components/map/steel-line'
import { type ScreenPoint, toScreen, type View } from '@/components/map/view'
import type { StripOfFit } from '@/lib/photo/cylinder-fit'

export function StripCodes({ strip, view, colours }: { strip: StripOfFit; view: View; colours: SteelColours }) {
  const codes = strip.markers.map(({ id, corners }) => ({ id, at: corners.map(({ u, v }) => toScreen(view, { x: u, y: v })) }))
  const middle = codes[codes.length >> 1]
  return (
    <Group listening={false}>
      {codes.map(({ id, at }) => (
        <HaloLine key={id} points={[...at, ...at.slice(0, 1)]} width={1.4} colour={colours.dye} halo={colours.halo} />
      ))}
      {strip.rims
        .filter(({ used }) => used)
        .map(({ holeId, u, v }) => (
          <RimCross key={holeId} at={toScreen(view, { x: u, y: v })} colours={colours} />
        ))}
      {middle ? <SteelText at={besideFront(middle.at)} text="FRONT" align="center" colours={colours} size={14} /> : null}
    </Group>
  )
}

/** The middle of an oil hole as its rim in the picture has it. */
function RimCross({ at: { x, y }, colours }: { at: ScreenPoint; colours: SteelColours }) {
  const reach = 7
  return (
    <>
      <HaloLine
        points={[
          { x: x - reach, y: y - reach },
          { x: x + reach, y: y + reach },
        ]}
        width={1.4}
        colour={colours.dye}
        halo={colours.halo}
      />
      <HaloLine
        points={[
          { x: x - reach, y: y + reach },
          { x: x + reach, y: y - reach },
        ]}
        width={1.4}
        colour={colours.dye}
        halo={colours.halo}
      />
    </>
  )
}

/** Half a code off its lower edge, which lies towards the strip's front edge. */
function besideFront([a, b, c, d]: readonly ScreenPoint[]): ScreenPoint {
  const low = { x: (c.x + d.x) / 2, y: (c.y + d.y) / 2 }
  const high = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 }
  return { x: low.x + (low.x - high.x) * 0.75, y: low.y + (low.y - high.y) * 0.75 }
}
