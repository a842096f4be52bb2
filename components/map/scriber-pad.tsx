'use client'
/** The scriber: a pad under the thumb and a needle to the point, so that the thumb never hides it. */
import { Circle, Line } from 'react-konva'
import type { Scriber } from './picture-pointer'
import type { SteelColours } from './steel-colours'

export function ScriberPad({ scriber: { pad, tip }, colours }: { scriber: Scriber; colours: SteelColours }) {
  const needle = [pad.x, pad.y, tip.x, tip.y]
  return (
    <>
      <Line points={needle} stroke={colours.halo} strokeWidth={6} lineCap="round" />
      <Line points={needle} stroke={colours.dye} strokeWidth={3} lineCap="round" />
      <Circle x={pad.x} y={pad.y} radius={24} fill={colours.dye} stroke={colours.halo} strokeWidth={2} opacity={0.9} />
      <Circle x={pad.x} y={pad.y} radius={19} stroke={colours.halo} strokeWidth={5} dash={[1.6, 4]} />
      <Circle x={tip.x} y={tip.y} radius={4.5} fill={colours.halo} stroke={colours.ink} strokeWidth={1.6} />
    </>
  )
}
