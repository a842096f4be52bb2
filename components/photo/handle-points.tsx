'use client'
/** The handles on a photograph: a cross for each point, a thin tick to where the fit puts it, the chosen one ringed. */
import { Circle, Group } from 'react-konva'
import { type HandleRef, handlePixel, sameHandle } from '@/components/editor/tools/handles'
import type { SteelColours } from '@/components/map/steel-colours'
import { HaloLine } from '@/components/map/steel-line'
import { toScreen, type View } from '@/components/map/view'
import type { Handles } from '@/lib/model/photo'
import type { PhotoPoint } from '@/lib/photo/camera'

export type ShownHandle = {
  ref: HandleRef
  /** Where the fit puts it; null without a fit. */
  nearest: PhotoPoint | null
  off: boolean
  inStep: boolean
}

export function HandlePoints({
  handles,
  shown,
  chosen,
  view,
  colours,
}: {
  handles: Handles
  shown: readonly ShownHandle[]
  chosen: HandleRef | null
  view: View
  colours: SteelColours
}) {
  return (
    <>
      {shown.map(({ ref, nearest, off, inStep }) => {
        const pixel = handlePixel(handles, ref)
        if (!pixel) return null
        const at = toScreen(view, { x: pixel[0], y: pixel[1] })
        const arm = inStep ? 10 : 4.5
        const colour = off ? colours.hold : colours.ink
        return (
          <Group key={JSON.stringify(ref)}>
            {nearest ? (
              <HaloLine
                points={[at, toScreen(view, { x: nearest.u, y: nearest.v })]}
                width={1.2}
                colour={off ? colours.hold : colours.dye}
                halo={colours.halo}
              />
            ) : null}
            <HaloLine
              points={[
                { x: at.x - arm, y: at.y },
                { x: at.x + arm, y: at.y },
              ]}
              width={inStep ? 1.8 : 1.2}
              colour={colour}
              halo={colours.halo}
            />
            <HaloLine
              points={[
                { x: at.x, y: at.y - arm },
                { x: at.x, y: at.y + arm },
              ]}
              width={inStep ? 1.8 : 1.2}
              colour={colour}
              halo={colours.halo}
            />
            {off ? <Circle x={at.x} y={at.y} radius={13} stroke={colours.hold} strokeWidth={2.4} dash={[6, 3]} /> : null}
            {sameHandle(ref, chosen) ? <Circle x={at.x} y={at.y} radius={16} stroke={colours.dye} strokeWidth={2.6} /> : null}
          </Group>
        )
      })}
    </>
  )
}
