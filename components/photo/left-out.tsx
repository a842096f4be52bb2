'use client'
/** An outline around what is not the journal: darkened, with a dashed edge. */
import { Line } from 'react-konva'
import type { SteelColours } from '@/components/map/steel-colours'
import { flatten } from '@/components/map/steel-line'
import type { ScreenPoint } from '@/components/map/view'

export function LeftOut({ points, colours, closed }: { points: readonly ScreenPoint[]; colours: SteelColours; closed: boolean }) {
  return (
    <>
      <Line points={flatten(points)} closed={closed} fill="#1b2226" opacity={0.55} />
      <Line points={flatten(points)} closed={closed} stroke={colours.halo} strokeWidth={3.6} />
      <Line points={flatten(points)} closed={closed} stroke={colours.ink} strokeWidth={1.4} dash={[6, 4]} />
    </>
  )
}
